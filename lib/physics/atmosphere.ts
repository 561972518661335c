import { standardAirPressureHPa } from './constants';

// ISO 2533:1975, troposphere: 288.15 K and 1013.25 hPa at sea level, −6.5 K/km, g 9.80665 m/s², R 287.05287 J/(kg K).
const seaLevelTempK = 288.15;
const lapseKPerM = 0.0065;
const exponent = 9.80665 / (287.05287 * lapseKPerM);
const lowestAltitudeM = -2000;
const highestAltitudeM = 11_000;

/**
 * Air pressure of the standard atmosphere.
 *
 * P = 1013.25 (1 − 0.0065 H / 288.15)^5.25588
 *
 * @param altitudeM altitude above sea level, geopotential [m, −2000..11000]; a surveyed altitude differs by 0.04 hPa at 1500 m
 * @returns pressure [hPa]; NaN outside the range
 * Accuracy: exact by definition. The weather's own swing is ±40 hPa.
 * @example standardPressureHPa(1000) // 898.745
 * Source: ISO 2533:1975.
 */
export function standardPressureHPa(altitudeM: number): number {
  if (!(altitudeM >= lowestAltitudeM && altitudeM <= highestAltitudeM)) return Number.NaN;
  return standardAirPressureHPa * (1 - (lapseKPerM * altitudeM) / seaLevelTempK) ** exponent;
}

/**
 * Altitude at which the standard atmosphere has a pressure: the inverse of standardPressureHPa.
 *
 * @param pressureHPa station pressure [hPa, 226.4..1277]
 * @returns altitude [m]; NaN outside the range
 * Source: ISO 2533:1975.
 */
export function standardAltitudeM(pressureHPa: number): number {
  if (!(pressureHPa >= standardPressureHPa(highestAltitudeM) && pressureHPa <= standardPressureHPa(lowestAltitudeM))) {
    return Number.NaN;
  }
  return (seaLevelTempK / lapseKPerM) * (1 - (pressureHPa / standardAirPressureHPa) ** (1 / exponent));
}

/** What an air-pressure reading looks like at a known altitude. */
export type AirPressureVerdict =
  | { readonly kind: 'station'; readonly expectedHPa: number }
  | { readonly kind: 'doubtful'; readonly expectedHPa: number }
  | { readonly kind: 'sea-level-reduced'; readonly expectedHPa: number }
  | { readonly kind: 'implausible'; readonly expectedHPa: number };

// Day-to-day spread of sea-level pressure in temperate latitudes, and the widest weather worth believing. Common practice, no single source.
const weatherSpread = 0.011;
const weatherLimit = 0.06;
const suspiciousAt = 2.2 * weatherSpread;

/**
 * Judges whether an air pressure is the station's own or has been reduced to sea level, as weather services report it.
 *
 * The reading is compared with the standard atmosphere at the altitude and with that at sea level, each in per cent; the nearer one wins once
 * the reading is further from the station's than common weather explains.
 *
 * @param pressureHPa reading [hPa]
 * @param altitudeM altitude of the still [m, −2000..11000]
 * @returns station (as expected) · doubtful (could be either) · sea-level-reduced (take it back to station pressure first) · implausible (neither)
 * Accuracy: below about 150 m the two differ by less than the weather, and only an extreme is called reduced; a wrong guess costs under 0.5 K there.
 * Source: ISO 2533:1975; the spread of weather is common practice.
 */
export function judgeAirPressure(pressureHPa: number, altitudeM: number): AirPressureVerdict {
  const expectedHPa = standardPressureHPa(altitudeM);
  const fromStation = Math.abs(pressureHPa / expectedHPa - 1);
  const fromSeaLevel = Math.abs(pressureHPa / standardAirPressureHPa - 1);
  if (!(fromStation <= weatherLimit || fromSeaLevel <= weatherLimit)) return { kind: 'implausible', expectedHPa };
  if (fromStation <= suspiciousAt) return { kind: 'station', expectedHPa };
  if (fromSeaLevel < fromStation / 2 && altitudeM > 0) return { kind: 'sea-level-reduced', expectedHPa };
  if (fromSeaLevel < fromStation && altitudeM > 150) return { kind: 'doubtful', expectedHPa };
  return fromStation <= weatherLimit ? { kind: 'station', expectedHPa } : { kind: 'doubtful', expectedHPa };
}

/**
 * True when judgeAirPressure finds the reading reduced to sea level. Arguments as there.
 * Source: as judgeAirPressure.
 */
export function looksSeaLevelReduced(pressureHPa: number, altitudeM: number): boolean {
  return judgeAirPressure(pressureHPa, altitudeM).kind === 'sea-level-reduced';
}

/**
 * Station pressure from one reduced to sea level, by the standard atmosphere.
 *
 * @param seaLevelHPa pressure reduced to sea level [hPa]
 * @param altitudeM altitude of the still [m, −2000..11000]
 * @returns pressure [hPa]
 * Accuracy: weather services reduce with the air's own temperature; the difference grows to some hPa at 1000 m on very cold or hot days.
 * Source: ISO 2533:1975.
 */
export function stationPressureHPa(seaLevelHPa: number, altitudeM: number): number {
  return (seaLevelHPa * standardPressureHPa(altitudeM)) / standardAirPressureHPa;
}
