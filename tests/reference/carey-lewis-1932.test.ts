import { describe, expect, it } from 'vitest';
import { bubblePoint } from '../../lib/physics';
import table from './data/carey-lewis-1932.json';

// The handbook's table at one atmosphere. It differs from modern sets by up to 0.65 K and 0.017 at low ethanol; its tolerance is that scatter.
describe("Carey and Lewis 1932 (Perry's handbook), one atmosphere", () => {
  it.each(table.temps)('boils x $x at $tempC °C within 0.7 K', ({ x, tempC }) => {
    expect(Math.abs(bubblePoint(x, 10 * table.pressureKPa).tempC - tempC)).toBeLessThanOrEqual(table.toleranceK);
  });

  it.each(table.vapours)('gives vapour $y over x $x within 0.015', ({ x, y }) => {
    expect(Math.abs(bubblePoint(x, 10 * table.pressureKPa).y - y)).toBeLessThanOrEqual(table.toleranceY);
  });

  it('lies above the model where the model is on the modern set: the difference is between the sets', () => {
    const [lowest] = table.temps;
    expect(lowest!.tempC - bubblePoint(lowest!.x, 1013.25).tempC).toBeGreaterThan(0.5);
  });
});
