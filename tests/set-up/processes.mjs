import { spawnSync } from 'node:child_process';
import { accessSync, constants, statSync } from 'node:fs';
import { delimiter, join } from 'node:path';

/**
 * The full path of a program on PATH, or null.
 * @param {string} name without extension
 */
export function onPath(name) {
  const extensions = process.platform === 'win32' ? ['.exe', '.cmd', '.bat'] : [''];
  for (const folder of (process.env.PATH ?? '').split(delimiter))
    for (const extension of extensions) {
      const path = join(folder, name + extension);
      if (folder !== '' && isProgram(path)) return path;
    }
  return null;
}

/** @param {string} path */
export function isProgram(path) {
  try {
    accessSync(path, constants.X_OK);
    return statSync(path).isFile();
  } catch {
    return false;
  }
}

/**
 * Runs a program to its end without a standard input.
 * @param {string} program
 * @param {string[]} args
 * @param {{ shown?: boolean, env?: Record<string, string>, cwd?: string }} [options] `shown`: its output goes to the terminal
 * @returns whether it succeeded, and its output where it was not shown
 */
export function run(program, args, { shown = false, env = {}, cwd } = {}) {
  const result = spawnSync(program, args, {
    cwd,
    env: { ...process.env, ...env },
    stdio: ['ignore', shown ? 'inherit' : 'pipe', shown ? 'inherit' : 'pipe'],
    encoding: 'utf8',
    maxBuffer: 64 * 1024 * 1024,
    shell: process.platform === 'win32' && !program.endsWith('.exe'),
  });
  return { ok: result.status === 0, output: `${result.stdout ?? ''}${result.stderr ?? ''}` };
}

/**
 * Runs npm: the one that started this process, or the one on PATH. npm 9, which Debian 13 brings, cannot read the
 * lock file (its `overrides` meet a dependency asked for by address), so there npm 11 is fetched and run.
 * @param {string[]} args
 * @param {Parameters<typeof run>[2]} [options]
 */
export function npm(args, options) {
  const [program, first] = npmCommand();
  return run(program, [...first, ...args], options);
}

/** @type {[string, string[]] | undefined} */
let command;

/** @returns {[string, string[]]} */
function npmCommand() {
  if (command) return command;
  const running = process.env.npm_execpath;
  command = running?.endsWith('.js') ? [process.execPath, [running]] : ['npm', []];
  const version = run(command[0], [...command[1], '--version']).output.trim();
  if (Number.parseInt(version, 10) >= 10) return command;
  console.log(`set-up: this is npm ${version}; using npm 11 in its place for this checkout`);
  command = ['npx', ['--yes', 'npm@11']];
  return command;
}
