import { execFile, execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { onTestFinished } from 'vitest';

const run = promisify(execFile);

export const firmwareFolder = fileURLToPath(new URL('../../firmware-protocol/firmware/', import.meta.url));
export const here = fileURLToPath(new URL('./', import.meta.url));

/** First line of what a compiler says of itself, or null where it is not installed. */
export function compilerVersion(compiler: string): string | null {
  try {
    return execFileSync(compiler, ['--version'], { encoding: 'utf8' }).split('\n')[0]!;
  } catch {
    return null;
  }
}

/** The compiler for the controller and its C library, as `make prebuilt` writes them down; null without one. */
export function controllerToolchain(): string | null {
  const compiler = compilerVersion('avr-g++');
  if (compiler === null) return null;
  const input = '#include <avr/version.h>\n__AVR_LIBC_VERSION_STRING__\n';
  const flags = ['-mmcu=atmega328p', '-E', '-P', '-x', 'c', '-'];
  const output = execFileSync('avr-g++', flags, { encoding: 'utf8', input });
  return `${compiler}, avr-libc ${output.trim().split('\n').at(-1)!.replaceAll('"', '')}`;
}

/**
 * A folder that is gone after the test.
 * @param whenFinished the test's own, from its context, where tests run beside each other: the global one then belongs
 *   to whichever test began last
 */
export function scratchFolder(whenFinished: typeof onTestFinished = onTestFinished): string {
  const folder = mkdtempSync(join(tmpdir(), 'firmware-'));
  whenFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

/** Runs a program and gives what it printed. @throws Error with its messages when it failed */
export async function outputOf(program: string, arguments_: readonly string[]): Promise<string> {
  try {
    return (await run(program, [...arguments_], { cwd: firmwareFolder, encoding: 'utf8' })).stdout;
  } catch (failure) {
    const { stdout = '', stderr = '', code, signal } = failure as Record<string, string | undefined>;
    const how = signal ? `killed by ${signal}` : `ended with ${code}`;
    throw new Error(`${program} ${arguments_.join(' ')}: ${how}\n${stdout}${stderr}`, { cause: failure });
  }
}

/** How the Makefile compiles for the controller, for programs that are not its own. */
export const controllerFlags = [
  '-mmcu=atmega328p',
  '-DF_CPU=16000000UL',
  '-Os',
  '-Wall',
  '-Wextra',
  '-Werror',
  '-fno-exceptions',
  '-fno-rtti',
  '-fno-threadsafe-statics',
  '-ffunction-sections',
  '-fdata-sections',
  '-Wl,--gc-sections',
] as const;
