import { defineConfig } from 'vitest/config';

/** `fast` runs pure code in parallel; `real` starts brokers, browsers and processes, one file at a time. */
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'fast',
          include: ['tests/{unit,reference,property,scripts,golden,contract,tidy,seeds}/**/*.test.ts'],
          testTimeout: 60_000,
        },
      },
      {
        test: {
          name: 'real',
          include: ['tests/real/**/*.test.ts'],
          // After the fast ones: brokers, browsers and fast time want the machine for themselves.
          sequence: { groupOrder: 1 },
          fileParallelism: false,
          // Real processes on a busy machine: once more before it counts as broken.
          retry: 1,
          testTimeout: 120_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
});
