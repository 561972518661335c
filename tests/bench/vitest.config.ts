import { defineConfig } from 'vitest/config';

/** Benchmarks only; nothing here is part of the tests. */
export default defineConfig({
  test: { include: [], benchmark: { include: ['tests/bench/**/*.bench.ts'] } },
});
