import { type SpawnOptions, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The command as it is installed. */
export const cliPath = fileURLToPath(new URL('../../dist/dashboard/cli/main.js', import.meta.url));

export interface Finished {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs the built command line as its users do, in a process of its own, without colour and without a terminal. */
export function runCli(args: readonly string[], options: SpawnOptions = {}): Promise<Finished> {
  if (!existsSync(cliPath)) throw new Error(`${cliPath} is missing: run 'npm run build' first`);
  return finished(spawn(process.execPath, [cliPath, ...args], options));
}

/** Waits for a child and collects what it wrote. */
export function finished(child: ReturnType<typeof spawn>): Promise<Finished> {
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
