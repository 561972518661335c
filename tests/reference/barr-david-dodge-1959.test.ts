import { describe, expect, it } from 'vitest';
import { bubbleTempC } from '../../lib/physics';
import set from './data/barr-david-dodge-1959.json';
import { deviationOf } from './equilibrium-set';

// 150 °C and 5.6 to 10 bar: far outside a still open to the air. It shows what extrapolating costs, and that it is refused.
describe('Barr-David and Dodge 1959, 423.15 K', () => {
  it('is missed by kelvins, which is why the model ends far below such pressures', () => {
    const deviation = deviationOf(set);
    expect(deviation.points).toBe(17);
    expect(deviation.tempRmseK).toBeGreaterThan(1);
    expect(deviation.tempRmseK).toBeLessThan(2.3);
  });

  it('is refused by the solvers', () => {
    for (const point of set.points) expect(bubbleTempC(point.x, 10 * point.pressureKPa)).toBeNaN();
  });
});
