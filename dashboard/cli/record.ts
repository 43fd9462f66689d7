import { existsSync } from 'node:fs';
import { isDeepStrictEqual } from 'node:util';
import { type Command, Option } from 'commander';
import type {
  Calibration,
  CalibrationId,
  Logbook,
  Recording,
  RecordingId,
  RigIdentity,
  RigLink,
} from '../../daq/index.js';
import { addBuildOptions, type BuildOptions } from './build-options.js';
import { badInput, exitStatus } from './failure.js';
import { anyNumber, positiveNumber, wholeNumber } from './number-options.js';
import { type ProcedureOptions, parseCoolDown, parseLadder, procedureNames } from './record-procedure.js';
import { connectedTo, type RecordRigOptions, recordRig } from './record-rig.js';
import { settingsOf } from './settings.js';
import { parseArgument } from './source.js';
import { say } from './terminal.js';

interface RecordOptions extends Omit<BuildOptions, 'build'>, ProcedureOptions, RecordRigOptions {
  readonly build?: string;
  readonly continue?: string;
  readonly rate?: number;
  readonly remount?: number;
  readonly calibration?: string;
  readonly mostForce?: number;
  readonly reconnect?: number;
  readonly temperature?: number;
  readonly logbook: string;
}

export function addRecord(program: Command): void {
  const command = program
    .command('record')
    .description('Record the build that is on the rig')
    .addHelpText('after', examples)
    .requiredOption('--port <path>', 'the serial port the rig is on (`ports` lists them), or simulated-rig')
    .option('--build <name>', 'the build: what you call the state the shock is in')
    .option('--continue <recording>', 'go on with an interrupted recording:ID, as a further segment of it')
    .option('--seconds <number>', 'length; the speed ladder is stretched to it', positiveNumber('--seconds'))
    .option('--by-hand', 'you turn the crank (or a drill does): speeds are asked for and shown')
    .option('--no-drive', 'leave the drive alone and record what moves the shock')
    .option('--ladder <steps>', 'crank speeds and seconds, or turns: 0.3:6,1:4,3x8', parseLadder)
    .option('--settle <seconds>', 'extra time at the beginning of each speed', positiveNumber('--settle'))
    .option('--dwell <seconds>', 'time the drive stands between speeds', positiveNumber('--dwell'))
    .option('--cool-down <degC:seconds>', 'stand between speeds until so cool, or so long', parseCoolDown)
    .addOption(new Option('--procedure <name>', 'how the shock is moved').choices(procedureNames))
    .option('--remount <number>', 'which mounting this is (otherwise a new one)', wholeNumber('--remount'))
    .option('--calibration <file>', 'JSON with what one count is; kept for this rig from then on')
    .option(
      '--most-force <newton>',
      "halt the drive past this force (otherwise the rig profile's limit)",
      positiveNumber('--most-force'),
    )
    .option(
      '--temperature <degC>',
      'temperature of the shock, read by yourself, on a rig without a sensor',
      anyNumber('--temperature'),
    )
    .option('--baud <number>', 'baud rate (otherwise 250000, then others are tried)', wholeNumber('--baud'))
    .option('--rate <number>', 'force samples a second, where the rig can choose', positiveNumber('--rate'))
    .option('--plain <cells>', 'the rig sends plain numbers, unchecked: time_us,force,position')
    .option('--rig <name>', 'with --plain: what you call the rig')
    .option('--plays <build>', 'at the simulated rig: the invented shock (otherwise draggy-seal)')
    .option(
      '--reconnect <seconds>',
      'wait so long for a rig whose plug was out (otherwise 60 on a terminal)',
      positiveNumber('--reconnect'),
    )
    .option('--json', 'what became of it as one JSON document');
  addBuildOptions(command).action(async (_options: unknown, self: Command) => {
    await record(settingsOf<RecordOptions>(self));
  });
}

const examples = `
Any key stops the drive and ends the recording; so does closing the terminal.
Neither replaces a hard-wired switch that cuts the drive's power.

Example: dashpot-bench record --port /dev/ttyACM0 --build 'new seal' --parent 'old seal' --change 'seal swapped'
         dashpot-bench record --port /dev/ttyUSB0 --build 'new seal' --by-hand`;

async function record(options: RecordOptions): Promise<void> {
  const [daq, { planBuild, enterBuild }, { procedureFor }, { interruption }, { recordSegments }] =
    await Promise.all([
      import('../../daq/index.js'),
      import('./build-options.js'),
      import('./record-procedure.js'),
      import('./interruption.js'),
      import('./record-segments.js'),
    ]);
  const signal = interruption();
  const given = options.calibration === undefined ? null : await readCalibration(options.calibration);
  const rig = await recordRig(options, daq);
  // A logbook is made only when there is something to write into it.
  let logbook = existsSync(options.logbook) ? daq.openLogbook(options.logbook) : null;
  let link: RigLink | null = null;
  try {
    const continued = continuedRecording(logbook, options);
    const plan = planBuild(logbook, { ...options, build: continued?.buildName ?? options.build! });
    link = await rig.open();
    const identity = link.identity();
    if (options.rate !== undefined) await link.setRate('force', options.rate);
    if (!options.json) say(connectedTo(link.identity(), options.port));
    if (logbook) (await import('./check-warning.js')).warnOfCheck(logbook, identity.rigName);
    const procedure = continued
      ? daq.remainingProcedure(continued.procedure)
      : procedureFor(identity, options, daq);
    refuseUncalibrated(logbook, identity, given);
    refuseTemperature(identity, options.temperature);
    if (daq.isDriven(procedure) && !rig.simulated) await (await import('./cautions.js')).showCautions(signal);

    if (signal.aborted) {
      process.exitCode = exitStatus.interrupted;
      return;
    }
    logbook ??= daq.openLogbook(options.logbook);
    const calibrationId = enterCalibration(logbook, identity, given);
    const limits = daq.driveLimitsOf(logbook, identity.rigName);
    const build = enterBuild(logbook, plan);
    const remounts = logbook.listRecordings({ buildId: build.id }).map(({ remount }) => remount);
    rig.mount(options.remount ?? 1 + Math.max(0, ...remounts));
    await recordSegments({
      rig,
      link,
      logbook,
      build,
      calibrationId,
      procedure,
      continues: continued?.id,
      remount: options.remount,
      limits: options.mostForce === undefined ? limits : { ...limits, force_N: options.mostForce },
      reconnect_s: options.reconnect ?? (process.stdin.isTTY ? 60 : 0),
      json: options.json ?? false,
      temperature_degC: options.temperature,
      signal,
      onLink: (next) => {
        link = next;
      },
    });
  } finally {
    await link?.close();
    logbook?.close();
  }
}

/** The recording that `--continue` names. @throws CommandFailure where it is none, or a build is missing */
function continuedRecording(logbook: Logbook | null, options: RecordOptions): Recording | null {
  if (options.continue === undefined) {
    if (options.build !== undefined) return null;
    throw badInput('no --build', '--build and what you call the state the shock is in');
  }
  if (options.build !== undefined || options.ladder || options.procedure || options.byHand)
    throw badInput(
      '--continue with a build or a procedure',
      '--continue alone: it goes on as it was asked then',
    );
  const named = parseArgument(options.continue);
  const recording = named.kind === 'recording' ? logbook?.findRecording(named.id as RecordingId) : undefined;
  if (recording?.state !== 'interrupted')
    throw badInput(`--continue ${options.continue}`, 'recording:ID of the logbook that was interrupted');
  return recording;
}

async function readCalibration(path: string): Promise<Calibration> {
  return (await import('./calibration-file.js')).readCalibrationFile(path);
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
      '`calibrate force` and `calibrate position` first, or --calibration FILE with what one count of each is',
    );
}

/** Refuses a temperature beside a sensor's, and one that no shock has. */
function refuseTemperature(identity: RigIdentity, temperature_degC: number | undefined): void {
  if (temperature_degC === undefined) return;
  if (identity.channels.some(({ kind }) => kind === 'temperature'))
    throw badInput(
      `--temperature for rig '${identity.rigName}', which has a sensor`,
      'none: the sensor is recorded',
    );
  if (temperature_degC < -20 || temperature_degC > 120)
    throw badInput(`--temperature ${temperature_degC}`, '−20 to 120 °C');
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
