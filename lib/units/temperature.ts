/** Exact temperature conversions, typed by name. */

export function kelvinFromCelsius(tempC: number): number {
  return tempC + 273.15;
}

export function celsiusFromKelvin(tempK: number): number {
  return tempK - 273.15;
}

export function celsiusFromFahrenheit(tempF: number): number {
  return ((tempF - 32) * 5) / 9;
}

export function fahrenheitFromCelsius(tempC: number): number {
  return (tempC * 9) / 5 + 32;
}

/** A temperature difference in °F for one in K (no offset). */
export function fahrenheitDegreesFromKelvins(differenceK: number): number {
  return (differenceK * 9) / 5;
}
