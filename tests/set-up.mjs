/*
 * Makes this checkout ready on a machine that has only Node and npm: packages, native module, build, and with
 * --for-tests what the tests drive. `npm run demo` and `npm test` start here.
 * This file is plain enough for an old Node to get as far as the sentence that says it is too old.
 */
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { satisfies } from './set-up/node-version.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');

/**
 * @param {{ forTests: boolean }} options
 * @returns {Promise<boolean>} whether all is ready; if not, the last line on standard error says what to do
 */
export async function setUp({ forTests }) {
  const range = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')).engines.node;
  if (!satisfies(process.versions.node, range)) {
    console.error(`set-up: This is Node ${process.versions.node}; dashpot-bench needs Node ${range}.`);
    return false;
  }
  const { SetUpFailure } = await import('./set-up/failure.mjs');
  try {
    if (forTests) {
      const { provide, systemNeeds } = await import('./set-up/system-needs.mjs');
      provide([systemNeeds.browser, systemNeeds.socat]);
    }
    const { installPackages, prepareSqlite } = await import('./set-up/dependencies.mjs');
    const { build } = await import('./set-up/build.mjs');
    // One may compile for a minute, the other for half of one, and neither needs the other.
    const prepare = () => Promise.all([prepareSqlite(root), build(root)]);
    return await installPackages(root)
      .then(prepare)
      .then(() => true);
  } catch (error) {
    if (!(error instanceof SetUpFailure)) throw error;
    console.error(`set-up: ${error.message}`);
    return false;
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  setUp({ forTests: process.argv.includes('--for-tests') }).then((ready) => {
    process.exitCode = ready ? 0 : 1;
  });
