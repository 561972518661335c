import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { resolve } from 'node:path';
import { expect, test } from 'vitest';
import * as source from '../../lib/physics';

// The built package where there is one: the test runner's own loading makes calls between modules three times slower.
const built = resolve(__dirname, '../../dist/lib/physics/index.js');
const physics: typeof source = existsSync(built) ? createRequire(__filename)(built) : source;
const { bubbleTempC, compileShift, dewTempC, massFractionFromAbv, shiftVapourTemp, thresholdAt, vapourAtDewTemp } =
  physics;

// Inputs run over a table so that nothing is folded away; the sum keeps the results alive.
const count = 1024;
const compositions = Float64Array.from({ length: count }, (_, i) => (i + 0.5) / count);
const pressures = Float64Array.from({ length: count }, (_, i) => 500 + ((i * 37) % 600));
const temperatures = Float64Array.from({ length: count }, (_, i) => 80 + ((i * 53) % 1900) / 100);
const curve = compileShift(92, 1013.25, 'vapour');
let sum = 0;

/** One iteration is 1024 calls. */
function each(call: (i: number) => number): () => void {
  return () => {
    for (let i = 0; i < count; i++) sum += call(i);
    if (Number.isNaN(sum)) throw new Error('a benchmark input is out of range');
  };
}

test('physics, calls a second', async ({ bench }) => {
  const paths: Record<string, (i: number) => number> = {
    'bubble point, cold': (i) => bubbleTempC(compositions[i]!, pressures[i]!),
    'bubble point, warm': (i) => bubbleTempC(compositions[i]! * 0.001 + 0.2, 960, 81.4),
    'dew point': (i) => dewTempC(compositions[i]!, pressures[i]!),
    'vapour from temperature': (i) => vapourAtDewTemp(temperatures[i]!, 1000),
    'shift of a temperature': (i) => shiftVapourTemp(temperatures[i]!, 1013.25, pressures[i]!),
    'prepared threshold': (i) => thresholdAt(curve, pressures[i]!),
    'mass fraction from volume': (i) => massFractionFromAbv(compositions[i]!),
  };
  const lines: string[] = [];
  for (const [name, path] of Object.entries(paths)) {
    const result = await bench(name, each(path)).run();
    const perSecond = count * result.throughput.mean;
    lines.push(`${name}: ${Math.round(perSecond).toLocaleString('en')} calls/s`);
    // A tenth of what a small two-core machine does: slower means that something has gone wrong.
    expect(perSecond).toBeGreaterThan(10_000);
  }
  const from = physics === source ? 'sources through the test runner (slow)' : 'the built package';
  process.stdout.write(`\n${from}\n${lines.join('\n')}\n`);
});
