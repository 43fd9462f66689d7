/*
 * `npm run endurance`: the tests that have a longer form, in it: 200 kills and 600 power cuts of a recorder, and six
 * million lines through a pseudo-terminal. Build first: `npm run build`.
 */
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { run } from './set-up/processes.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
Object.assign(process.env, { ENDURANCE_KILLS: '200', ENDURANCE_CUTS: '600', ENDURANCE_LINES: '6000000' });
const { ok } = run(
  process.execPath,
  [
    join(root, 'node_modules/vitest/vitest.mjs'),
    'run',
    'tests/daq/durability.test.ts',
    'tests/end-to-end/load.test.ts',
    '--reporter=verbose',
  ],
  { shown: true, cwd: root },
);
process.exitCode = ok ? 0 : 1;
