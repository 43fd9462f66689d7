#!/usr/bin/env node
import { CommanderError } from 'commander';
import { commandLine } from './command-line.js';
import { exitStatus } from './failure.js';
import { reportOf } from './report-error.js';

/** A reader that has had enough (`| head`) ends the program quietly. */
function endWhenNobodyReads(): void {
  for (const stream of [process.stdout, process.stderr])
    stream.on('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EPIPE') process.exit(exitStatus.done);
      throw error;
    });
}

/** Says in one line why the program ends; a fault's place in the program only when asked for. */
function endWith(error: unknown): void {
  if (error instanceof CommanderError) {
    process.exitCode = error.exitCode === 0 ? exitStatus.done : exitStatus.badInput;
    return;
  }
  const { status, line } = reportOf(error);
  process.exitCode = status;
  process.stderr.write(`${line}\n`);
  if (process.argv.includes('--debug')) console.error(error);
}

endWhenNobodyReads();
process.on('uncaughtException', (error) => {
  endWith(error);
  process.exit();
});
const program = commandLine();
try {
  if (process.argv.length <= 2) program.outputHelp();
  else await program.parseAsync();
} catch (error) {
  endWith(error);
}
