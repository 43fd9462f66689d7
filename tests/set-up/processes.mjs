import { spawn, spawnSync } from 'node:child_process';
import { accessSync, constants, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
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
    shell: needsShell(program),
  });
  return { ok: result.status === 0, output: `${result.stdout ?? ''}${result.stderr ?? ''}` };
}

/**
 * Runs a program as `run` does, while this process goes on.
 * @param {string} program
 * @param {string[]} args
 * @param {{ env?: Record<string, string>, cwd?: string }} [options]
 * @returns {Promise<ReturnType<typeof run>>}
 */
export function runBeside(program, args, { env = {}, cwd } = {}) {
  const child = spawn(program, args, {
    cwd,
    env: { ...process.env, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
    shell: needsShell(program),
  });
  /** @type {Buffer[]} */
  const output = [];
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => output.push(chunk));
  return new Promise((resolve) => {
    const end = (/** @type {boolean} */ ok) => resolve({ ok, output: Buffer.concat(output).toString() });
    child.on('error', () => end(false)).on('close', (status) => end(status === 0));
  });
}

/** @param {string} program */
function needsShell(program) {
  return process.platform === 'win32' && !program.endsWith('.exe');
}

/**
 * Runs npm: the one that started this process, or the one on PATH. npm 9, which Debian 13 brings, cannot read a lock
 * file whose `overrides` meet a dependency asked for by address; there npm 11 is fetched and run, from elsewhere,
 * since npm 9 stumbles over this folder before it gets to run anything.
 * @param {string[]} args
 * @param {Parameters<typeof runBeside>[2]} [options]
 */
export function npm(args, options = {}) {
  const own = ownNpm();
  if (own) return runBeside(own.program, [...own.args, ...args], options);
  const folder = options.cwd ?? process.cwd();
  return runBeside('npx', ['--yes', 'npm@11', '--prefix', folder, ...args], { ...options, cwd: tmpdir() });
}

/** @type {{ program: string, args: string[] } | null | undefined} */
let found;

/** The npm that is there, or null where it is too old. */
function ownNpm() {
  if (found !== undefined) return found;
  const running = process.env.npm_execpath;
  const own = running?.endsWith('.js')
    ? { program: process.execPath, args: [running] }
    : { program: 'npm', args: [] };
  const version = run(own.program, [...own.args, '--version']).output.trim();
  found = Number.parseInt(version, 10) < 10 ? null : own;
  if (found === null)
    console.log(`set-up: this is npm ${version}; using npm 11 in its place for this checkout`);
  return found;
}
