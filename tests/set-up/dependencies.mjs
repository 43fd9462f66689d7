import { existsSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { SetUpFailure } from './failure.mjs';
import { npm, run } from './processes.mjs';
import { provide, systemNeeds } from './system-needs.mjs';

/**
 * Installs the npm packages of the lock file where they are missing or older than it.
 * @param {string} root the folder of package.json
 */
export async function installPackages(root) {
  if (!isOlder(join(root, 'node_modules/.package-lock.json'), join(root, 'package-lock.json'))) return;
  console.log('set-up: installing the npm packages of package-lock.json');
  const { ok, output } = await npm(['ci', '--ignore-scripts', '--no-audit', '--no-fund'], { cwd: root });
  if (ok) return;
  console.error(lastLines(output));
  throw new SetUpFailure('npm ci failed; its own words are above. Run npm ci for all of them.');
}

/**
 * Has better-sqlite3 ready to load: from its prebuilt binary where one can be had, otherwise compiled.
 * @param {string} root the folder of package.json
 */
export async function prepareSqlite(root) {
  if (sqliteLoads(root)) return;

  console.log('set-up: fetching or compiling better-sqlite3 (a minute where it is compiled)');
  if ((await rebuildSqlite(root)).ok && sqliteLoads(root)) return;
  provide([systemNeeds.compiler]);
  const { output } = await rebuildSqlite(root);
  if (sqliteLoads(root)) return;
  console.error(lastLines(output));
  throw new SetUpFailure('better-sqlite3 could not be built; npm rebuild better-sqlite3 shows all of it.');
}

/** @param {string} file @param {string} reference */
function isOlder(file, reference) {
  return !existsSync(file) || statSync(file).mtimeMs < statSync(reference).mtimeMs;
}

/** In a process of its own: a binary made for another Node can bring the process down. @param {string} root */
function sqliteLoads(root) {
  const probe = "new (require('better-sqlite3'))(':memory:').close()";
  return run(process.execPath, ['-e', probe], { cwd: root }).ok;
}

/** Compiles against the headers that came with this Node, where they did, instead of downloading them. @param {string} root */
function rebuildSqlite(root) {
  const prefix = join(dirname(process.execPath), '..');
  const hasHeaders = existsSync(join(prefix, 'include/node/node.h'));
  const env = hasHeaders ? { npm_config_nodedir: prefix } : {};
  return npm(['rebuild', 'better-sqlite3'], { cwd: root, env });
}

/** @param {string} output */
function lastLines(output) {
  return output.trim().split('\n').slice(-15).join('\n');
}
