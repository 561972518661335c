import type { Estimate } from '../engine/types';
import { shiftBoilerTemp, shiftVapourTemp, standardAirPressureHPa } from '../physics';

const lowestHPa = 500;
const highestHPa = 1100;

/** A vapour or boiler temperature at 1013.25 hPa, where the table is [°C]; null outside the range of the equilibrium. */
export function atStandard(tempC: number, pressureHPa: number, line: 'vapour' | 'boiler'): number | null {
  if (pressureHPa === standardAirPressureHPa) return tempC;
  if (!(pressureHPa >= lowestHPa && pressureHPa <= highestHPa)) return null;
  const shift = line === 'vapour' ? shiftVapourTemp : shiftBoilerTemp;
  const shifted = shift(tempC, pressureHPa, standardAirPressureHPa);
  return Number.isFinite(shifted) ? shifted : null;
}

/** The vapour now, at 1013.25 hPa [°C]; null where it is not known. */
export function vapourAtStandard({ vapourTempC, pressure }: Estimate): number | null {
  return vapourTempC === null || pressure.medianHPa === null
    ? null
    : atStandard(vapourTempC, pressure.medianHPa, 'vapour');
}
