import type { CutTime, Estimate, Plant } from '../engine/types';
import { bubbleTempC, moleFractionFromAbv, shiftBoilerTemp, standardAirPressureHPa } from '../physics';

/** From boiling to vapour at the probe: the head must be warmed first [s]. */
const frontS = { pot: 55, column: 110 } as const;
const frontWithinS = 20;
/** The hotter, the more is lost: how much slower the boiler warms a kelvin further on. */
const slowerPerK = 0.002;
/** The heat must come through to the probe before its pace says anything [s]. */
const steadyAfterS = 300;
/** A boiler that warms no faster than this is not being heated up [K/s]. */
const slowestKPerS = 0.0005;
/** Where the charge boils may be off by this: strength, solids, probe [K]. */
const boilsWithinK = 0.3;

/**
 * When vapour comes: the boiler's way to the boiling point of its charge at the pace it warms now.
 *
 * @returns unknown without a boiler probe, a charge or an air pressure, and while the boiler hardly warms
 */
export function vapourComes(plant: Plant, estimate: Estimate, inPhaseS: number): CutTime {
  const { boilerTempC, boilerSlopeKPerS, pressure } = estimate;
  if (plant.charge === null) return { kind: 'unknown', why: 'forecast.no-charge' };
  if (boilerTempC === null || boilerSlopeKPerS === null || pressure.medianHPa === null) {
    return { kind: 'unknown', why: 'forecast.probe' };
  }
  if (inPhaseS < steadyAfterS) return { kind: 'unknown', why: 'forecast.early' };
  const standardC = bubbleTempC(moleFractionFromAbv(Math.min(0.95, plant.charge.strengthAbv)), standardAirPressureHPa);
  const toGoK = Math.max(0, shiftBoilerTemp(standardC, standardAirPressureHPa, pressure.medianHPa) - boilerTempC);
  if (toGoK > 0.5 && boilerSlopeKPerS < slowestKPerS) return { kind: 'unknown', why: 'forecast.not-warming' };
  const pace = Math.max(slowestKPerS, boilerSlopeKPerS * Math.max(0.5, 1 - (slowerPerK * toGoK) / 2));
  const seconds = toGoK <= 0.5 ? 0 : toGoK / pace;
  return {
    kind: 'in',
    inS: seconds + frontS[plant.still.kind],
    sigmaS: Math.hypot(0.015 * seconds, boilsWithinK / pace, frontWithinS),
  };
}
