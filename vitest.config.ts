import { defineConfig } from 'vitest/config';

/** These drive a browser, a device node or the whole command: each file in a process of its own, after the others. */
const whole = ['tests/browser/**/*.test.ts', 'tests/end-to-end/**/*.test.ts'];

/**
 * These open rigs that go on in simulated time for as long as somebody reads: each file in a thread of its own, which
 * ends with it.
 */
const rigs = ['tests/daq/**/*.test.ts', 'tests/firmware/**/*.test.ts', 'tests/dashboard/server-*.test.ts'];

export default defineConfig({
  test: {
    allowOnly: false,
    testTimeout: 60_000,
    projects: [
      {
        extends: true,
        test: {
          name: 'rooms',
          include: ['tests/**/*.test.ts'],
          exclude: [...whole, ...rigs],
          pool: 'threads',
          isolate: false,
          maxWorkers: 2,
        },
      },
      {
        extends: true,
        test: { name: 'rigs', include: rigs, pool: 'threads', isolate: true, maxWorkers: 2 },
      },
      {
        extends: true,
        test: {
          name: 'whole',
          include: whole,
          pool: 'forks',
          maxWorkers: 2,
          testTimeout: 120_000,
          hookTimeout: 60_000,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
