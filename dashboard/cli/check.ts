import type { Command } from 'commander';
import type { Logbook, RecordingId, RigId } from '../../daq/index.js';
import type { CheckAnswer } from '../answers/index.js';
import { badInput, exitStatus } from './failure.js';
import type { RigOptions } from './lead-at-rig.js';
import { wholeNumber } from './number-options.js';
import { settingsOf } from './settings.js';

interface CheckOptions extends RigOptions {
  readonly standard: string;
  readonly newBaseline?: boolean;
  readonly learn?: string[];
  readonly note?: string;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addCheck(program: Command): void {
  program
    .command('check')
    .description('Measures the check standard once a sitting and says whether the rig is as it was')
    .addHelpText(
      'after',
      `
The check standard is a spring with a friction block that is never changed. From
the fourth sitting on its rate and drag are held against their own history.

Exit status 1: the rig has changed.

Example: dashpot-bench check --port /dev/ttyACM0`,
    )
    .argument('[recording]', 'recording:ID of the check standard; otherwise one is made now')
    .option('--port <path>', 'the serial port the rig is on, or simulated-rig')
    .option('--baud <number>', 'baud rate (otherwise 250000)', wholeNumber('--baud'))
    .option('--standard <name>', 'the build that is the check standard', 'check standard')
    .option('--new-baseline', 'begin its history anew, after a repair or with another spring')
    .option('--note <text>', 'with --new-baseline: why')
    .option(
      '--learn <build...>',
      "instead of measuring: take builds' remounts into the rig's long-run spread",
    )
    .option('--json', 'the judgement with its limits and history as one JSON document')
    .action(async (recording: string | undefined, _options: unknown, command: Command) => {
      await check(recording, settingsOf<CheckOptions>(command));
    });
}

async function check(recording: string | undefined, options: CheckOptions): Promise<void> {
  if (options.learn) return (await import('./learn-remounts.js')).learnRemounts(options.learn, options);
  const [{ careLogbook, recordingNamed, recordPiece }, { careProcedure, pieceNamed }] = await Promise.all([
    import('./rig-care-recording.js'),
    import('../../daq/index.js'),
  ]);
  if (recording !== undefined) {
    const logbook = careLogbook(options.logbook, false);
    try {
      const recordingId = recordingNamed(logbook, recording);
      const { rigId, buildName } = logbook.findRecording(recordingId)!;
      await judge(logbook, rigId!, recordingId, { ...options, standard: buildName });
    } finally {
      logbook.close();
    }
    return;
  }
  const { leadAtRig } = await import('./lead-at-rig.js');
  await leadAtRig(options, 'check-standard', async (rig) => {
    const logbook = careLogbook(options.logbook, true);
    try {
      const rigId = logbook.rigNamed(rig.rigName);
      standardFor(logbook, rigId, options, pieceNamed);
      const procedure = careProcedure('check', rig.link.identity());
      await judge(logbook, rigId, await recordPiece(rig, logbook, options.standard, procedure), options);
    } finally {
      logbook.close();
    }
  });
}

/** Makes sure that the rig has this check standard; its history begins before the recording that is made next. */
function standardFor(
  logbook: Logbook,
  rigId: RigId,
  { standard, newBaseline, note }: CheckOptions,
  pieceNamed: (logbook: Logbook, name: string) => ReturnType<Logbook['createBuild']>['id'],
): void {
  const existing = logbook.checkStandardOf(rigId);
  if (existing && existing.buildName !== standard && !newBaseline)
    throw badInput(
      `--standard ${standard}`,
      `'${existing.buildName}', whose history would be left; or --new-baseline to begin another`,
    );
  if (!existing || newBaseline) logbook.setCheckStandard(rigId, pieceNamed(logbook, standard), note ?? '');
}

async function judge(
  logbook: Logbook,
  rigId: RigId,
  recordingId: RecordingId,
  options: CheckOptions,
): Promise<void> {
  const [{ lastCheck }, { enterCheckReading }] = await Promise.all([
    import('../answers/index.js'),
    import('../../daq/index.js'),
  ]);
  enterCheckReading(logbook, rigId, recordingId);
  const { answer } = lastCheck((quantity) => logbook.checkHistory(rigId, quantity))!;
  await tell(answer, recordingId, logbook.remountSpreadOf(rigId), options);
  if (['outside', 'drifting', 'spread'].includes(answer.verdict)) process.exitCode = exitStatus.answerIsNo;
}

async function tell(
  answer: CheckAnswer,
  recordingId: RecordingId,
  spread: ReturnType<Logbook['remountSpreadOf']>,
  { json, port }: CheckOptions,
): Promise<void> {
  const [{ say, sayNext, writeDocument }, { table }, { checkRows, checkSentence }] = await Promise.all([
    import('./terminal.js'),
    import('./table.js'),
    import('../wording/index.js'),
  ]);
  if (json) {
    writeDocument({ recordingId, ...answer, remountSpread: spread });
    return;
  }
  say(checkSentence(answer));
  process.stdout.write(
    `\n${table(
      [
        { heading: 'Check standard', align: 'left', cell: (row) => row.quantity },
        { heading: 'Sittings', align: 'right', cell: (row) => row.sittings },
        { heading: 'Now', align: 'right', cell: (row) => row.newest },
        { heading: 'Limits', align: 'right', cell: (row) => row.limits },
        { heading: 'Average', align: 'right', cell: (row) => row.average },
        { heading: 'Its limits', align: 'right', cell: (row) => row.averageLimits },
        { heading: 'Verdict', align: 'left', cell: (row) => row.verdict },
      ],
      checkRows(answer),
    )}\n`,
  );
  const rig = port ?? 'PORT';
  if (answer.verdict === 'outside')
    sayNext(
      `dashpot-bench check --port ${rig}`,
      'after a look at mounts, cable and cell, to see whether it stays so',
    );
  else if (answer.verdict === 'drifting')
    sayNext(
      `dashpot-bench calibrate force --port ${rig} --masses LIST`,
      'then old and new recordings can be compared again',
    );
  else sayNext(`dashpot-bench record --port ${rig} --build NAME`, 'records what is on the rig');
}
