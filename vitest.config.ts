import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/**
 * These record in real time, from a page that must renew its hold on the drive or from a device node: at last, with
 * nothing beside them. They wait for their devices more than they work, so two go on at a time.
 */
const whole = ['tests/browser/bench.test.ts', 'tests/end-to-end/**/*.test.ts'];
/** Pages in a browser, beside whatever else runs. */
const pages = ['tests/browser/**/*.test.ts'];
const inProcesses = { pool: 'forks', testTimeout: 120_000, hookTimeout: 120_000 } as const;

/**
 * These open rigs that go on in simulated time for as long as somebody reads: each file in a thread of its own, which
 * ends with it.
 */
const rigs = ['tests/daq/**/*.test.ts', 'tests/firmware/**/*.test.ts', 'tests/dashboard/server-*.test.ts'];

/** Takes longest, and long for its size, which is what puts files in order: begun late it would go on alone at the end. */
const longest = 'tests/analysis/findings/told.test.ts';

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const isLongest = ({ moduleId }: TestSpecification) => moduleId.endsWith(longest);
    const sorted = await super.sort(files);
    return [...sorted.filter(isLongest), ...sorted.filter((file) => !isLongest(file))];
  }
}

export default defineConfig({
  test: {
    allowOnly: false,
    testTimeout: 60_000,
    sequence: { sequencer: LongestFirst },
    projects: [
      {
        extends: true,
        test: {
          name: 'rooms',
          include: ['tests/**/*.test.ts'],
          exclude: [...pages, ...whole, ...rigs],
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
          name: 'pages',
          include: pages,
          exclude: whole,
          isolate: false,
          maxWorkers: 1,
          sequence: { groupOrder: 1 },
          ...inProcesses,
        },
      },
      {
        extends: true,
        test: { name: 'whole', include: whole, maxWorkers: 2, sequence: { groupOrder: 2 }, ...inProcesses },
      },
    ],
  },
});
