import { existsSync } from 'node:fs';
import { isDeepStrictEqual } from 'node:util';
import { type Command, Option } from 'commander';
import type { Calibration, CalibrationId, Logbook, RigIdentity, RigLink } from '../../daq/index.js';
import { addBuildOptions, type BuildOptions } from './build-options.js';
import { badInput, exitStatus } from './failure.js';
import { positiveNumber, wholeNumber } from './number-options.js';
import { type ProcedureOptions, parseLadder, procedureNames } from './record-procedure.js';
import { settingsOf } from './settings.js';
import { say } from './terminal.js';

interface RecordOptions extends BuildOptions, ProcedureOptions {
  readonly port: string;
  readonly baud?: number;
  readonly rate?: number;
  readonly remount?: number;
  readonly calibration?: string;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addRecord(program: Command): void {
  const command = program
    .command('record')
    .description('Record the build that is on the rig')
    .addHelpText(
      'after',
      `\nExample: dashpot-bench record --port /dev/ttyACM0 --build 'new seal' --parent 'old seal' --change 'seal swapped'`,
    )
    .requiredOption('--port <path>', 'the serial port the rig is on; `ports` lists them')
    .requiredOption('--build <name>', 'the build: what you call the state the shock is in')
    .option('--seconds <number>', 'length; the speed ladder is stretched to it', positiveNumber('--seconds'))
    .option('--no-drive', 'leave the drive alone and record what moves the shock')
    .option('--ladder <steps>', 'crank speeds and seconds: 0.3:6,1:4,3:2', parseLadder)
    .addOption(new Option('--procedure <name>', 'how the shock is moved').choices(procedureNames))
    .option('--remount <number>', 'which mounting this is (otherwise a new one)', wholeNumber('--remount'))
    .option('--calibration <file>', 'JSON with what one count is; kept for this rig from then on')
    .option('--baud <number>', 'baud rate (otherwise 250000)', wholeNumber('--baud'))
    .option('--rate <number>', 'force samples a second, where the rig can choose', positiveNumber('--rate'))
    .option('--json', 'what became of it as one JSON document');
  addBuildOptions(command).action(async (_options: unknown, self: Command) => {
    await record(settingsOf<RecordOptions>(self));
  });
}

async function record(options: RecordOptions): Promise<void> {
  const [daq, { planBuild, enterBuild }, { procedureFor }, { interruption }] = await Promise.all([
    import('../../daq/index.js'),
    import('./build-options.js'),
    import('./record-procedure.js'),
    import('./interruption.js'),
  ]);
  const signal = interruption();
  const given = options.calibration === undefined ? null : await readCalibration(options.calibration);
  // A logbook is made only when there is something to write into it.
  let logbook = existsSync(options.logbook) ? daq.openLogbook(options.logbook) : null;
  let link: RigLink | null = null;
  try {
    const plan = planBuild(logbook, options);
    const { port: path, baud: baudRate = daq.DEFAULT_BAUD } = options;
    link = await daq.openRigLink({ path, baudRate });
    if (options.rate !== undefined) await link.setRate('force', options.rate);
    if (!options.json) say(connectedTo(link.identity(), path));
    const procedure = procedureFor(link.identity(), options, daq.defaultSpeedLadder);
    refuseUncalibrated(logbook, link.identity(), given);
    if (procedure.steps.length > 0) await (await import('./cautions.js')).showCautions(signal);

    if (signal.aborted) {
      process.exitCode = exitStatus.interrupted;
      return;
    }
    logbook ??= daq.openLogbook(options.logbook);
    const calibrationId = enterCalibration(logbook, link.identity(), given);
    const build = enterBuild(logbook, plan);
    const progress = (await import('./recording-progress.js')).recordingProgress(build.name);
    const outcome = await daq
      .recordBuild({
        link,
        logbook,
        buildId: build.id,
        calibrationId,
        procedure,
        ...(options.remount !== undefined && { remount: options.remount }),
        onProgress: progress.show,
        signal,
      })
      .finally(progress.clear);
    const recording = logbook.findRecording(outcome.recordingId)!;
    const { reportRecording } = await import('./recorded-report.js');
    reportRecording(outcome, recording, options.json ?? false);
  } finally {
    await link?.close();
    logbook?.close();
  }
}

async function readCalibration(path: string): Promise<Calibration> {
  return (await import('./calibration-file.js')).readCalibrationFile(path);
}

/** "Connected to 'garage rig' (firmware 1.2) on /dev/ttyACM0: force 320/s, position 400/s, with a drive." */
function connectedTo({ rigName, firmware, channels, drive }: RigIdentity, path: string): string {
  const rates = channels.map(({ kind, rate_mHz }) => `${kind} ${rate_mHz / 1000}/s`).join(', ');
  return `Connected to '${rigName}' (firmware ${firmware}) on ${path}: ${rates}, ${drive ? 'with' : 'without'} a drive.`;
}

function refuseUncalibrated(
  logbook: Logbook | null,
  { rigName }: RigIdentity,
  given: Calibration | null,
): void {
  const rigId = logbook?.findRig(rigName);
  if (given === null && (rigId === undefined || !logbook?.calibrationInForce(rigId)))
    throw badInput(
      `rig '${rigName}' has no calibration in this logbook`,
      '--calibration FILE, once, with what one count of force and of position is (README, "Connect a rig")',
    );
}

/** The calibration to record under; one that was given is entered unless it is the one in force already. */
function enterCalibration(
  logbook: Logbook,
  { rigName }: RigIdentity,
  given: Calibration | null,
): CalibrationId {
  const rigId = logbook.rigNamed(rigName);
  const inForce = logbook.calibrationInForce(rigId);
  const isSame =
    given !== null && inForce !== undefined && isDeepStrictEqual(plain(inForce.calibration), plain(given));
  return given === null || isSame ? inForce!.id : logbook.addCalibration(rigId, given).id;
}

/** Without uncertainties that nobody knows, which a file may leave out and a logbook keeps as null. */
function plain(calibration: Calibration): unknown {
  return JSON.parse(JSON.stringify(calibration, (_key, value) => value ?? undefined));
}
