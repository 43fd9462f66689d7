import { existsSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { SetUpFailure } from './failure.mjs';
import { npm } from './processes.mjs';

const sources = ['firmware-protocol', 'analysis', 'daq', 'dashboard', 'package-lock.json', 'tsconfig.json'];
const products = ['dist/dashboard/cli/main.js', 'dist/dashboard/web/index.html'];

/**
 * Builds the command and the page where a source is newer than the last build.
 * @param {string} root the folder of package.json
 */
export async function build(root) {
  const stamp = join(root, 'dist/.built');
  const isBuilt = existsSync(stamp) && products.every((product) => existsSync(join(root, product)));
  if (isBuilt && statSync(stamp).mtimeMs > Math.max(...sources.map((source) => newest(join(root, source)))))
    return;

  console.log('set-up: building the command and the page');
  const started = new Date();
  const { ok, output } = await npm(['run', 'build', '--silent'], { cwd: root });
  if (!ok) {
    console.error(output.trim());
    throw new SetUpFailure('The build failed; its own words are above.');
  }
  writeFileSync(stamp, `${started.toISOString()}\n`);
}

/** The latest change of a file, or of any file in a folder. @param {string} path @returns {number} */
function newest(path) {
  const own = statSync(path);
  if (!own.isDirectory()) return own.mtimeMs;
  return Math.max(0, ...readdirSync(path).map((name) => newest(join(path, name))));
}
