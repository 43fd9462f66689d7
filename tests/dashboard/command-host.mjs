/*
 * Runs commands of the built program one after another in this process, as its parent asks: loading and compiling the
 * program once for many commands is most of what running them costs. What only a fresh process shows (its start, its
 * pipes, its signals) is tried by `spawnCli`.
 */
import { CommanderError } from 'commander';
import { commandLine } from '../../dist/dashboard/cli/command-line.js';
import { reportOf } from '../../dist/dashboard/cli/report-error.js';

/** Thrown in place of leaving the process. */
class Left extends Error {}

process.setMaxListeners(0);
process.exit = (status) => {
  if (status !== undefined && status !== null) process.exitCode = status;
  throw new Left();
};

/** @param {string[]} args */
async function run(args) {
  const written = { stdout: '', stderr: '' };
  for (const name of /** @type {const} */ (['stdout', 'stderr']))
    process[name].write = /** @type {typeof process.stdout.write} */ (
      (text, encoding, done) => {
        written[name] += text;
        (typeof encoding === 'function' ? encoding : done)?.();
        return true;
      }
    );
  process.exitCode = undefined;
  process.argv = [process.execPath, 'dashpot-bench', ...args];
  try {
    const program = commandLine();
    if (args.length === 0) program.outputHelp();
    else await program.parseAsync();
  } catch (error) {
    if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? 0 : 2;
    else if (!(error instanceof Left)) {
      const { status, line } = reportOf(error);
      process.exitCode = status;
      written.stderr += `${line}\n`;
    }
  }
  return { status: Number(process.exitCode ?? 0), ...written };
}

/** @type {Promise<unknown>} */
let last = Promise.resolve();
process.on('message', (/** @type {{ id: number, args: string[] }} */ { id, args }) => {
  last = last.then(async () => process.send?.({ id, finished: await run(args) }));
});
process.on('disconnect', () => process.kill(process.pid, 'SIGKILL'));
