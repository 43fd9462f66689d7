import type { Command } from 'commander';
import type { RecordingAnalysis } from '../../analysis/index.js';
import type { Logbook } from '../../daq/index.js';
import { CommandFailure, exitStatus } from './failure.js';
import { wholeNumber } from './number-options.js';
import { settingsOf } from './settings.js';
import { portOption } from './start.js';
import { progressLine, say, sayNext } from './terminal.js';

interface DemoOptions {
  readonly open: boolean;
  readonly once?: boolean;
  readonly seed: number;
  readonly port?: number;
}

export function addDemo(program: Command): void {
  program
    .command('demo')
    .description(
      'Record two invented builds on the simulated rig, compare them, show them; needs no rig, keeps nothing',
    )
    .option('--no-open', 'print the address of the dashboard instead of opening it')
    .option('--once', 'end after the comparison, without the dashboard')
    .addOption(portOption())
    .option('--seed <number>', 'draws another rig, other mountings and other noise', wholeNumber('--seed'), 1)
    .action(async (_options: unknown, command: Command) => {
      await demo(settingsOf<DemoOptions>(command));
    });
}

async function demo({ open, once, seed, port }: DemoOptions): Promise<void> {
  const [{ openLogbook }, { temporaryLogbook }, { interruption }] = await Promise.all([
    import('../../daq/index.js'),
    import('./temporary-logbook.js'),
    import('./interruption.js'),
  ]);
  const signal = interruption();
  const place = temporaryLogbook();
  try {
    const logbook = openLogbook(place.path);
    try {
      say(
        'Everything here is simulated: an invented rig with an invented shock, played through the same path as a real one.',
      );
      await recordAndCompare(logbook, seed, signal);
      if (signal.aborted) process.exitCode = exitStatus.interrupted;
      else if (once) sayOwnRig();
      else {
        process.stdout.write('\n');
        await (await import('./show-dashboard.js')).showDashboard(logbook, { port, open }, signal);
      }
    } finally {
      logbook.close();
    }
  } finally {
    place.remove();
  }
}

/** Records, analyses each recording while the next one is made, and prints the comparison. */
async function recordAndCompare(logbook: Logbook, seed: number, signal: AbortSignal): Promise<void> {
  const [{ recordDemo, demoBuilds }, { analysisPool }, { compareBuilds }, { comparisonReport }] =
    await Promise.all([
      import('./demo-recordings.js'),
      import('./analysis-pool.js'),
      import('../../analysis/index.js'),
      import('./comparison-report.js'),
    ]);
  const pool = analysisPool();
  try {
    const pending = new Map(demoBuilds.map(({ name }) => [name, [] as Promise<RecordingAnalysis>[]]));
    for await (const { build, recordingId } of recordDemo(logbook, seed, signal)) {
      const label = `recording:${recordingId}`;
      const analysis = pool
        .analyze({ kind: 'recording', label, logbook: logbook.path, id: recordingId })
        .then((result) => {
          if (result.ok) return result.analysis;
          throw new CommandFailure(exitStatus.badInput, result.error);
        });
      analysis.catch(() => {});
      pending.get(build)!.push(analysis);
    }
    if (signal.aborted) return;
    const progress = progressLine();
    progress.show('analysing');
    const [before, after] = await Promise.all([...pending.values()].map((side) => Promise.all(side)));
    progress.clear();
    const [first, second] = demoBuilds;
    const names = { before: `the ${first!.name}`, after: `the ${second!.name}` };
    const report = comparisonReport(compareBuilds(before!, after!), { names });
    process.stdout.write(`\n${report}`);
  } finally {
    await pool.close();
  }
}

function sayOwnRig(): void {
  sayNext('dashpot-bench ports', 'lists the serial ports; your own rig may be on one of them');
}
