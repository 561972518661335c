import { describe, expect, it } from 'vitest';
import { correctHydrometer, hydrometerGlassPerK } from '../../lib/proofing';
import table from './data/oiml-table-viii.json';
import { okValue } from './ok-value';

describe('OIML R 22 Table VIII: alcoholometer of 20 °C', () => {
  it.each(table.points)('$hydrometerPercentVol at $tempC °C is $truePercentVol % vol within 0.05', (point) => {
    const corrected = okValue(
      correctHydrometer({
        readingAbv: point.hydrometerPercentVol / 100,
        tempC: point.tempC,
        basis: '20C',
      }),
    );
    expect(Math.abs(100 * corrected.strengthAbv - point.truePercentVol)).toBeLessThanOrEqual(table.tolerancePercentVol);
  });

  it('takes 25e-6 1/K for glass, the convention of ISO 1768:1975', () => {
    expect(hydrometerGlassPerK).toBe(25e-6);
  });
});
