import { type ChildProcess, fork, type SpawnOptions, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The command as it is installed. */
export const cliPath = fileURLToPath(new URL('../../dist/dashboard/cli/main.js', import.meta.url));

export interface Finished {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

interface Host {
  run(args: readonly string[]): Promise<Finished>;
}

let host: Host | null = null;

/**
 * Runs a command of the built program without colour and without a terminal, in a process that has run others before;
 * commands asked for together take turns.
 */
export function runCli(args: readonly string[]): Promise<Finished> {
  host ??= startHost();
  return host.run(args);
}

/** Runs the built program as its users do, in a process of its own, without colour and without a terminal. */
export function spawnCli(args: readonly string[], options: SpawnOptions = {}): Promise<Finished> {
  requireBuilt();
  return finished(spawn(process.execPath, [cliPath, ...args], options));
}

/** Waits for a child and collects what it wrote. */
export function finished(child: ChildProcess): Promise<Finished> {
  let stdout = '';
  let stderr = '';
  child.stdout?.setEncoding('utf8').on('data', (text: string) => {
    stdout += text;
  });
  child.stderr?.setEncoding('utf8').on('data', (text: string) => {
    stderr += text;
  });
  return new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (status) => resolve({ status, stdout, stderr }));
  });
}

/** Lines of a text that ends with a newline. */
export function linesOf(text: string): string[] {
  return text === '' ? [] : text.replace(/\n$/, '').split('\n');
}

function requireBuilt(): void {
  if (!existsSync(cliPath)) throw new Error(`${cliPath} is missing: run 'npm run build' first`);
}

function startHost(): Host {
  requireBuilt();
  const child = fork(fileURLToPath(new URL('./command-host.mjs', import.meta.url)), {
    execArgv: [],
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  const waiting = new Map<number, { resolve(result: Finished): void; reject(reason: Error): void }>();
  let asked = 0;
  child.on('message', ({ id, finished }: { id: number; finished: Finished }) => {
    waiting.get(id)?.resolve(finished);
    waiting.delete(id);
    rest();
  });
  child.on('exit', (status, signal) => {
    host = null;
    for (const { reject } of waiting.values())
      reject(new Error(`the commands' process ended: ${status ?? signal}`));
  });
  /** While nothing is asked, the child does not keep this process from ending. */
  function rest(): void {
    if (waiting.size > 0) return;
    child.unref();
    child.channel?.unref();
  }
  return {
    run(args) {
      const id = asked++;
      child.ref();
      child.channel?.ref();
      return new Promise((resolve, reject) => {
        waiting.set(id, { resolve, reject });
        child.send({ id, args });
      });
    },
  };
}
