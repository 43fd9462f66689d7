import { defineConfig } from 'vitest/config';

/** These drive a browser, a device node or the whole command: each file in a process of its own, one at a time. */
const whole = ['tests/browser/**/*.test.ts', 'tests/end-to-end/**/*.test.ts'];

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
          exclude: whole,
          pool: 'threads',
          isolate: false,
          maxWorkers: 2,
        },
      },
      {
        extends: true,
        test: {
          name: 'whole',
          include: whole,
          pool: 'forks',
          maxWorkers: 1,
          testTimeout: 120_000,
          hookTimeout: 60_000,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
