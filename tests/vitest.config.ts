import { defineConfig } from 'vitest/config';

/** What measures how a process keeps up wants the machine for itself. */
const alone = ['tests/real/node-red-flood.test.ts', 'tests/real/security-fuzz.test.ts'];

const real = {
  // Real processes on a busy machine: once more before it counts as broken.
  retry: 1,
  testTimeout: 120_000,
  hookTimeout: 120_000,
};

/** `fast` runs pure code in parallel; `real` starts brokers, browsers and processes; `alone` does so one file at a time. */
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'fast',
          include: ['tests/{unit,reference,property,scripts,golden,contract,tidy,seeds}/**/*.test.ts'],
          testTimeout: 60_000,
          maxWorkers: 2,
          sequence: { groupOrder: 0 },
        },
      },
      {
        test: {
          ...real,
          name: 'real',
          include: ['tests/real/**/*.test.ts'],
          exclude: alone,
          // Two at a time: they wait more than they work.
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
        },
      },
      {
        test: {
          ...real,
          name: 'alone',
          include: alone,
          fileParallelism: false,
          sequence: { groupOrder: 2 },
        },
      },
    ],
  },
});
