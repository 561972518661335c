import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  celsiusFromFahrenheit,
  celsiusFromKelvin,
  convert,
  fahrenheitDegreesFromKelvins,
  fahrenheitFromCelsius,
  kelvinFromCelsius,
  parseUnit,
  quantityOf,
  type Unit,
  units,
  unitsOf,
} from '../../lib/units';

function converted(value: number, from: string, to: string): number {
  const result = convert(value, from, to);
  if (result.kind === 'error') throw new Error(result.problem);
  return result.value;
}

// NIST Special Publication 811, appendix B.8, except where a definition is exact.
describe('units: conversion', () => {
  it.each([
    [212, 'F', 'C', 100],
    [32, 'F', 'C', 0],
    [100, 'C', 'F', 212],
    [-40, 'F', 'C', -40],
    [0, 'K', 'C', -273.15],
    [25, 'C', 'K', 298.15],
    [101.325, 'kPa', 'hPa', 1013.25],
    [1, 'bar', 'hPa', 1000],
    [1013.25, 'mbar', 'hPa', 1013.25],
    [101_325, 'Pa', 'hPa', 1013.25],
    [1, 'L', 'mL', 1000],
    [1, 'gal_us', 'L', 3.785411784],
    [1, 'm3', 'L', 1000],
    [2, 'hL', 'L', 200],
    [1, 'lb', 'g', 453.59237],
    [16, 'oz', 'lb', 1],
    [60, 'mL/min', 'L/h', 3.6],
    [1, 'L/min', 'L/h', 60],
    [5, 'kW', 'W', 5000],
    [43, '%', 'fraction', 0.43],
    [90, 'min', 'h', 1.5],
    [1000, 'ft', 'm', 304.8],
  ])('%d %s is the same as in %s: %d', (value, from, to, expected) => {
    expect(converted(value, from, to)).toBeCloseTo(expected, 10);
  });

  it.each([
    [760, 'mmHg', 'hPa', 1013.25],
    [29.9213, 'inHg', 'hPa', 1013.25],
    [14.6959, 'psi', 'hPa', 1013.25],
  ])('one atmosphere is %d %s', (value, from, to, expected) => {
    expect(Math.abs(converted(value, from, to) - expected)).toBeLessThan(0.01);
  });

  it('of 100 °C to °F is exact', () => {
    expect(converted(100, 'C', 'F')).toBe(212);
    expect(converted(212, 'F', 'C')).toBe(100);
  });

  it('goes there and back between any two units of a quantity', () => {
    const pairs = units.flatMap((from) => unitsOf(quantityOf(from)).map((to): readonly [Unit, Unit] => [from, to]));
    fc.assert(
      fc.property(fc.constantFrom(...pairs), fc.double({ min: -1e4, max: 1e4, noNaN: true }), ([from, to], value) => {
        const back = converted(converted(value, from, to), to, from);
        expect(Math.abs(back - value)).toBeLessThan(1e-9 * Math.max(1, Math.abs(value)) + 1e-9);
      }),
    );
  });

  it('leaves a value in its own unit untouched', () => {
    expect(converted(78.3, 'F', 'F')).toBe(78.3);
  });
});

describe('units: what cannot be converted', () => {
  it('names both quantities when they differ, and what would do', () => {
    expect(convert(1, 'kPa', 'L')).toEqual({
      kind: 'error',
      problem: 'kPa measures pressure, L measures volume',
      remedy: 'use one of hPa, kPa, Pa, bar, mbar, mmHg, inHg, psi',
    });
  });

  it('names an unknown unit', () => {
    const result = convert(1, 'furlong', 'L');
    expect(result).toMatchObject({ kind: 'error', problem: "unit 'furlong' is not known" });
  });

  it('refuses what is no number', () => {
    expect(convert(Number.NaN, 'C', 'F').kind).toBe('error');
    expect(convert(Number.POSITIVE_INFINITY, 'C', 'F').kind).toBe('error');
  });
});

describe('units: spellings of people and firmware', () => {
  it.each([
    ['°C', 'C'],
    ['ºC', 'C'],
    ['℃', 'C'],
    ['degC', 'C'],
    ['deg C', 'C'],
    ['Celsius', 'C'],
    ['c', 'C'],
    ['°F', 'F'],
    ['f', 'F'],
    ['K', 'K'],
    ['mm Hg', 'mmHg'],
    ['mmhg', 'mmHg'],
    ['Torr', 'mmHg'],
    ['in Hg', 'inHg'],
    ['KPA', 'kPa'],
    ['hpa', 'hPa'],
    ['mb', 'mbar'],
    ['%', 'percent'],
    ['% vol', 'percent'],
    ['%vol', 'percent'],
    ['l', 'L'],
    ['Litres', 'L'],
    ['ml', 'mL'],
    ['US gal', 'gal_us'],
    ['gal', 'gal_us'],
    ['l/h', 'L/h'],
    ['ml/min', 'mL/min'],
    ['gph', 'gal_us/h'],
    ['w', 'W'],
    ['kw', 'kW'],
    ['lbs', 'lb'],
    ['sec', 's'],
    ['m', 'm'],
    ['min', 'min'],
    ['ms', 'ms'],
  ])('%s means %s', (text, unit) => {
    expect(parseUnit(text)).toEqual({ kind: 'ok', unit });
  });

  it('does not guess', () => {
    for (const text of ['', ' ', '°', 'degX', 'litreC', '%%']) expect(parseUnit(text).kind).toBe('error');
  });

  it('every unit is known by its own name', () => {
    for (const unit of units) expect(parseUnit(unit)).toEqual({ kind: 'ok', unit });
  });
});

describe('units: typed temperatures', () => {
  it('agree with each other', () => {
    expect(celsiusFromFahrenheit(173.3)).toBeCloseTo(78.5, 10);
    expect(fahrenheitFromCelsius(78.5)).toBeCloseTo(173.3, 10);
    expect(kelvinFromCelsius(0)).toBe(273.15);
    expect(celsiusFromKelvin(373.15)).toBeCloseTo(100, 12);
    expect(fahrenheitDegreesFromKelvins(0.5)).toBe(0.9);
  });
});
