import { describe, expect, it } from 'vitest';
import { bubblePoint, moleFractionFromAbv } from '../../lib/physics';
import table from './data/groning-19th-century.json';

describe('Groning, vapour temperature over boiling wash (19th century)', () => {
  it.each(table.points)(
    '$strengthPercentVol % vol boils near $tempC °C, within 1.5 K',
    ({ strengthPercentVol, tempC }) => {
      const modelC = bubblePoint(moleFractionFromAbv(strengthPercentVol / 100), 1013.25).tempC;
      expect(Math.abs(modelC - tempC)).toBeLessThanOrEqual(table.toleranceK);
    },
  );
});
