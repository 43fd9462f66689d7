import { Command } from 'commander';
import { reportOf } from '../../dashboard/cli/report-error.js';
import type { Finished } from './run-cli.js';

/**
 * Runs one command in this process, for the many ways in which input can be bad: what it writes and how it would end.
 * The whole program is run by `runCli`.
 * @param add adds the command to a program
 */
export async function runCommand(
  add: (program: Command) => void,
  args: readonly string[],
): Promise<Finished> {
  const program = new Command('dashpot-bench')
    .option('--logbook <path>')
    .exitOverride()
    .configureOutput({ writeErr: () => {}, outputError: () => {} });
  add(program);
  const written = { stdout: '', stderr: '' };
  const streams = ['stdout', 'stderr'] as const;
  const writers = streams.map((name) => process[name].write);
  for (const name of streams)
    process[name].write = ((text: string) => {
      written[name] += text;
      return true;
    }) as typeof process.stdout.write;
  const before = process.exitCode;
  process.exitCode = undefined;
  try {
    await program.parseAsync(args, { from: 'user' });
    return { status: Number(process.exitCode ?? 0), ...written };
  } catch (error) {
    const { status, line } = reportOf(error);
    return { status, stdout: written.stdout, stderr: `${written.stderr}${line}\n` };
  } finally {
    process.exitCode = before;
    streams.forEach((name, i) => {
      process[name].write = writers[i]!;
    });
  }
}
