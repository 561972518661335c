import { spawnSync } from 'node:child_process';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

// Run in a process of its own with the collector in our hands: bytes a call after warm-up, no collection in between.
const program = `
import { getHeapStatistics } from 'node:v8';
import { bubbleTempC, compileShift, dewTempC, liquidAtBubbleTemp, thresholdAt, vapourAtDewTemp, vapourOverLiquid } from './lib/physics/index.ts';
const curve = compileShift(92, 1013.25, 'vapour');
const result = new Float64Array(1);
const paths = {
  thresholdAt: (i) => { result[0] = thresholdAt(curve, 900 + (i % 100)); },
  bubbleTempC: (i) => { result[0] = bubbleTempC(0.01 + (i % 90) * 0.01, 900 + (i % 100), 85); },
  vapourOverLiquid: (i) => { result[0] = vapourOverLiquid(0.01 + (i % 90) * 0.01, 900 + (i % 100), 85); },
  dewTempC: (i) => { result[0] = dewTempC(0.01 + (i % 90) * 0.01, 900 + (i % 100)); },
  liquidAtBubbleTemp: (i) => { result[0] = liquidAtBubbleTemp(80 + (i % 90) * 0.2, 900 + (i % 100)); },
  vapourAtDewTemp: (i) => { result[0] = vapourAtDewTemp(80 + (i % 90) * 0.2, 900 + (i % 100)); },
  object: (i) => { result[0] = { a: i, b: [i] }.b.length; globalThis.kept = { a: i, b: i, c: i, d: i, e: i, f: i }; },
};
const bytes = {};
for (const [name, path] of Object.entries(paths)) {
  for (let i = 0; i < 100000; i++) path(i);
  // The compiler allocates now and then for itself: the least of several rounds is the path's own.
  bytes[name] = Infinity;
  for (let round = 0; round < 5; round++) {
    gc();
    const before = getHeapStatistics().used_heap_size;
    for (let i = 0; i < 50000; i++) path(i);
    bytes[name] = Math.min(bytes[name], (getHeapStatistics().used_heap_size - before) / 50000);
  }
}
process.stdout.write(JSON.stringify(bytes));
`;

describe('the physics the engine calls', () => {
  const root = resolve(__dirname, '../..');
  const hooks = resolve(root, 'tests/tools/typescript-hooks.mjs');
  // One thread, so that the compiler is done when the measuring begins.
  const flags = [
    '--expose-gc',
    '--no-concurrent-recompilation',
    '--max-semi-space-size=64',
    '--min-semi-space-size=64',
    '--import',
    hooks,
  ];
  const run = spawnSync(process.execPath, [...flags, '--input-type=module', '-e', program], {
    cwd: root,
    encoding: 'utf8',
  });
  const bytes = JSON.parse(run.stdout === '' ? '{}' : run.stdout) as Record<string, number>;

  it('answers, and the measurement sees an object when there is one', () => {
    expect(run.stderr).toBe('');
    expect(bytes.object).toBeGreaterThan(50);
  });

  it('a prepared threshold allocates nothing', () => {
    expect(bytes.thresholdAt).toBeLessThan(1);
  });

  // V8 puts a double on the heap (16 bytes) when it is handed over a call that isn't inlined: two arguments, a guess and the answer at the most.
  it.each(['bubbleTempC', 'vapourOverLiquid', 'liquidAtBubbleTemp', 'vapourAtDewTemp', 'dewTempC'])(
    '%s makes no object: only the numbers handed in and out',
    (name) => {
      expect(bytes[name]).toBeLessThan(100);
    },
  );
});
