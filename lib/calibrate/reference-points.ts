import { waterBoilingPointC } from '../physics';

/** A known temperature and what the probe showed in it. */
export interface ReferencePoint {
  readonly name: 'ice' | 'boiling' | 'other';
  readonly referenceC: number;
  /** Standard uncertainty of the known temperature [K]. */
  readonly referenceUncertaintyK: number;
  /** Readings taken once the probe had settled; two or more show the scatter. */
  readonly readingsC: readonly number[];
  /** Air pressure at the time, for the boiling point [hPa]. */
  readonly airPressureHPa?: number;
}

// Common practice: a stirred bath of crushed ice of clean water is within 0.05 K; boiling water in a tall vessel, probe in the steam, within 0.1 K.
const iceUncertaintyK = 0.03;
const boilingUncertaintyK = 0.06;

/**
 * The ice point: a stirred slush of crushed ice and water.
 *
 * @param readingsC settled readings [°C]
 * @returns the reference point, 0 °C ± 0.03 K (tap-water ice and an imperfect slush; common practice)
 * Source: ITS-90 (ice point 0.000 °C at one atmosphere; 0.0075 K/atm is neglected).
 */
export function icePoint(readingsC: readonly number[]): ReferencePoint {
  return { name: 'ice', referenceC: 0, referenceUncertaintyK: iceUncertaintyK, readingsC };
}

/**
 * The boiling point of water at today's station pressure.
 *
 * @param readingsC settled readings [°C]
 * @param airPressureHPa station pressure, not reduced to sea level [hPa, 500..1100]
 * @param pressureUncertaintyHPa standard uncertainty of the pressure [hPa]; 1 unless given
 * @returns the reference point; its temperature is NaN when the pressure is out of range, and the calibration is then refused
 * Source: IAPWS-IF97 region 4.
 */
export function boilingPoint(
  readingsC: readonly number[],
  airPressureHPa: number,
  pressureUncertaintyHPa = 1,
): ReferencePoint {
  const inRange = airPressureHPa >= 500 && airPressureHPa <= 1100;
  const referenceC = inRange ? waterBoilingPointC(airPressureHPa) : Number.NaN;
  const slopeKPerHPa = inRange
    ? waterBoilingPointC(airPressureHPa + 0.5) - waterBoilingPointC(airPressureHPa - 0.5)
    : 0;
  const referenceUncertaintyK = Math.hypot(boilingUncertaintyK, slopeKPerHPa * pressureUncertaintyHPa);
  return { name: 'boiling', referenceC, referenceUncertaintyK, readingsC, airPressureHPa };
}
