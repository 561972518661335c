import { describe, expect, it } from 'vitest';
import { massFractionFromAbv60F } from '../../lib/physics';
import { correctHydrometer, hydrometerReadingAbv } from '../../lib/proofing';
import { celsiusFromFahrenheit } from '../../lib/units';
import table from './data/practical-receipts-table-55.json';
import { okValue } from './ok-value';

// A historic table of one decimal: compared to 0.2 % vol and no tighter.
describe('alcoholometer of 60 °F, 30 to 85 °F (19th-century table)', () => {
  it.each(table.points)('$truePercentVol60F % vol shows $shownPercentVol at $tempF °F', (point) => {
    const fraction = massFractionFromAbv60F(point.truePercentVol60F / 100);
    const shown = 100 * hydrometerReadingAbv(fraction, celsiusFromFahrenheit(point.tempF), '60F');
    expect(Math.abs(shown - point.shownPercentVol)).toBeLessThanOrEqual(table.tolerancePercentVol);
  });

  it.each(table.points)(
    'and the reading $shownPercentVol at $tempF °F is corrected to $truePercentVol60F % vol',
    (point) => {
      const corrected = okValue(
        correctHydrometer({
          readingAbv: point.shownPercentVol / 100,
          tempC: celsiusFromFahrenheit(point.tempF),
          basis: '60F',
        }),
      );
      const error = 100 * corrected.strengthAbv60F - point.truePercentVol60F;
      expect(Math.abs(error)).toBeLessThanOrEqual(table.tolerancePercentVol);
    },
  );
});
