import { describe, expect, it } from 'vitest';
import {
  judgeAirPressure,
  looksSeaLevelReduced,
  standardAltitudeM,
  standardPressureHPa,
  stationPressureHPa,
} from '../../lib/physics';

describe('air pressure: reduced to sea level or not', () => {
  it.each([
    [1000, 1013],
    [1000, 990],
    [600, 1018],
    [300, 1021],
    [2000, 1005],
  ])('at %d m, %d hPa is a weather report', (altitudeM, pressureHPa) => {
    expect(judgeAirPressure(pressureHPa, altitudeM).kind).toBe('sea-level-reduced');
    expect(looksSeaLevelReduced(pressureHPa, altitudeM)).toBe(true);
  });

  it.each([
    [1000, 899],
    [1000, 880],
    [1000, 915],
    [600, 943],
    [300, 978],
    [50, 1030],
    [0, 1013],
    [0, 960],
    [0, 1050],
    [-300, 1049],
  ])('at %d m, %d hPa is the station itself', (altitudeM, pressureHPa) => {
    expect(judgeAirPressure(pressureHPa, altitudeM).kind).toBe('station');
    expect(looksSeaLevelReduced(pressureHPa, altitudeM)).toBe(false);
  });

  it('leaves open what could be either', () => {
    expect(judgeAirPressure(1045, 250).kind).toBe('doubtful');
  });

  it.each([
    [0, 600],
    [1000, 1300],
    [500, Number.NaN],
  ])('at %d m, %d hPa is neither', (altitudeM, pressureHPa) => {
    expect(judgeAirPressure(pressureHPa, altitudeM).kind).toBe('implausible');
  });

  it('never accuses a true station of ordinary weather, and finds every report from 600 m up', () => {
    for (let altitudeM = 0; altitudeM <= 3000; altitudeM += 50) {
      for (let seaLevelHPa = 995; seaLevelHPa <= 1035; seaLevelHPa += 2.5) {
        expect(looksSeaLevelReduced(stationPressureHPa(seaLevelHPa, altitudeM), altitudeM)).toBe(false);
        if (altitudeM >= 600) expect(looksSeaLevelReduced(seaLevelHPa, altitudeM)).toBe(true);
      }
    }
  });

  it('says what the altitude leads one to expect', () => {
    expect(judgeAirPressure(1013, 1000).expectedHPa).toBeCloseTo(898.75, 1);
  });
});

describe('standard atmosphere: limits', () => {
  it('ends at 11 km and 2 km below the sea', () => {
    expect(standardPressureHPa(11_001)).toBeNaN();
    expect(standardPressureHPa(-2001)).toBeNaN();
    expect(standardAltitudeM(100)).toBeNaN();
    expect(standardAltitudeM(1400)).toBeNaN();
    expect(standardAltitudeM(1013.25)).toBeCloseTo(0, 9);
  });
});
