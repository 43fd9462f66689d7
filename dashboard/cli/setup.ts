import type { Command } from 'commander';
import type { FoundAtRig, RigIdentity, RigProfile } from '../../daq/index.js';
import { badInput } from './failure.js';
import type { RigOptions } from './lead-at-rig.js';
import { anyNumber, positiveNumber, wholeNumber } from './number-options.js';
import { settingsOf } from './settings.js';

interface SetupOptions extends RigOptions {
  readonly rig?: string;
  readonly capacity: number;
  readonly forceLimit?: number;
  readonly stroke: number;
  readonly fastest?: number;
  readonly slowest?: number;
  readonly gravity?: number;
  readonly latitude?: number;
  readonly height?: number;
  readonly forceSign?: number;
  readonly positionSign?: number;
  readonly forceZero?: number;
  readonly fullExtension?: number;
  readonly temperature?: 'sensor' | 'manual';
  readonly note?: string;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addSetup(program: Command): void {
  program
    .command('setup')
    .description(
      'First set-up of a rig: reversed signs, zeros, limits of cell and drive; kept as its profile',
    )
    .addHelpText(
      'after',
      `
At the rig it asks for four things, one at a time, and never moves the drive.
Without a rig, --rig with --force-sign, --position-sign, --force-zero and
--full-extension gives what it would have found.

Example: dashpot-bench setup --port /dev/ttyACM0 --capacity 98 --stroke 24 --latitude 52`,
    )
    .requiredOption(
      '--capacity <newtons>',
      'load printed on the cell (10 kg is 98 N)',
      positiveNumber('--capacity'),
    )
    .requiredOption('--stroke <mm>', 'whole travel of drive or slide', positiveNumber('--stroke'))
    .option(
      '--force-limit <newtons>',
      'load that ends a run (otherwise 60 % of the capacity)',
      positiveNumber('--force-limit'),
    )
    .option(
      '--slowest <rev/s>',
      'slowest speed of the drive (otherwise its own)',
      positiveNumber('--slowest'),
    )
    .option(
      '--fastest <rev/s>',
      'fastest speed that this rig may run (otherwise its own)',
      positiveNumber('--fastest'),
    )
    .option('--gravity <m/s²>', 'local free fall, for hanging masses', positiveNumber('--gravity'))
    .option('--latitude <degrees>', 'instead of --gravity: geographic latitude', anyNumber('--latitude'))
    .option('--height <metres>', 'with --latitude: height above sea level', anyNumber('--height'))
    .option('--port <path>', 'the serial port the rig is on, or simulated-rig')
    .option('--baud <number>', 'baud rate (otherwise 250000)', wholeNumber('--baud'))
    .option('--rig <name>', "without --port: the name that the rig's firmware gives")
    .option(
      '--force-sign <1 or -1>',
      'counts rise (1) or fall when the shock pushes back',
      anyNumber('--force-sign'),
    )
    .option(
      '--position-sign <1 or -1>',
      'counts rise (1) or fall into compression',
      anyNumber('--position-sign'),
    )
    .option('--force-zero <counts>', 'force counts with nothing mounted', anyNumber('--force-zero'))
    .option('--full-extension <counts>', 'position counts fully extended', anyNumber('--full-extension'))
    .option('--temperature <how>', 'sensor or manual (otherwise as the rig says)', temperatureHow)
    .option('--note <text>', 'what to remember about it')
    .option('--json', 'the profile as one JSON document')
    .action(async (_options: unknown, command: Command) => {
      await setup(settingsOf<SetupOptions>(command));
    });
}

function temperatureHow(text: string): 'sensor' | 'manual' {
  if (text !== 'sensor' && text !== 'manual') throw badInput(`--temperature ${text}`, 'sensor or manual');
  return text;
}

async function setup(options: SetupOptions): Promise<void> {
  if (options.port === undefined) {
    if (options.rig === undefined) throw badInput('no --port', '--port PATH of the rig, or --rig NAME');
    await enter(options, options.rig, null, foundByHand(options));
    return;
  }
  const [{ leadAtRig }, { guided }, { guideSetup }, { crankCautions, loadCautions }] = await Promise.all([
    import('./lead-at-rig.js'),
    import('./operator.js'),
    import('../../daq/index.js'),
    import('../wording/index.js'),
  ]);
  await leadAtRig(options, 'bare-slide', async ({ link, played, rigName, signal }) => {
    const found = await guided(played, [...loadCautions, ...crankCautions], signal, (operator) =>
      guideSetup(link, operator, signal),
    );
    await enter(options, rigName, link.identity(), found);
  });
}

function foundByHand({
  forceSign,
  positionSign,
  forceZero,
  fullExtension,
  temperature,
}: SetupOptions): FoundAtRig {
  const given = { forceSign, positionSign, forceZero, fullExtension };
  const missing = Object.entries(given).find(([, value]) => value === undefined)?.[0];
  if (missing)
    throw badInput(
      `no --${missing.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`,
      'what was found at the rig, all four of it; or --port to find it out',
    );
  return {
    forceSign: forceSign as 1 | -1,
    positionSign: positionSign as 1 | -1,
    forceZero_counts: forceZero!,
    fullExtension_counts: fullExtension!,
    temperature: temperature ?? 'manual',
  };
}

async function enter(
  options: SetupOptions,
  rigName: string,
  identity: RigIdentity | null,
  found: FoundAtRig,
): Promise<void> {
  const [{ faultsOfProfile, openLogbook, usualForceShare }, { normalGravity_m_per_s2 }] = await Promise.all([
    import('../../daq/index.js'),
    import('../../analysis/index.js'),
  ]);
  const profile: RigProfile = {
    ...found,
    ...(options.temperature && { temperature: options.temperature }),
    cellCapacity_N: options.capacity,
    forceLimit_N: options.forceLimit ?? usualForceShare * options.capacity,
    stroke_m: options.stroke / 1000,
    drive: driveOf(options, identity),
    gravity_m_per_s2:
      options.gravity ??
      (options.latitude === undefined ? null : normalGravity_m_per_s2(options.latitude, options.height ?? 0)),
  };
  // Before a logbook is made for it.
  const [fault] = faultsOfProfile(profile);
  if (fault) throw badInput(`${fault.key} ${fault.found}`, fault.wanted, 'rig profile');
  const logbook = openLogbook(options.logbook);
  try {
    const { version } = logbook.addRigProfile(logbook.rigNamed(rigName), profile, options.note ?? '');
    await tell(options, rigName, version, profile);
  } finally {
    logbook.close();
  }
}

function driveOf({ slowest, fastest }: SetupOptions, identity: RigIdentity | null): RigProfile['drive'] {
  const own = identity?.drive;
  const speedMin_rev_per_s = slowest ?? (own ? own.speedMin_mHz / 1000 : undefined);
  const speedMax_rev_per_s = fastest ?? (own ? own.speedMax_mHz / 1000 : undefined);
  if (identity && !own) return null;
  if (speedMin_rev_per_s === undefined || speedMax_rev_per_s === undefined) return null;
  return { speedMin_rev_per_s, speedMax_rev_per_s };
}

async function tell(
  { json, port }: SetupOptions,
  rigName: string,
  version: number,
  profile: RigProfile,
): Promise<void> {
  const [{ say, sayNext, writeDocument }, { careTable }, { formatNumber }] = await Promise.all([
    import('./terminal.js'),
    import('./calibration-entry.js'),
    import('../wording/index.js'),
  ]);
  if (json) {
    writeDocument({ rig: rigName, version, profile });
    return;
  }
  const reversed = [profile.forceSign < 0 && 'force', profile.positionSign < 0 && 'position'].filter(Boolean);
  say(
    `Set up as profile ${version} of rig '${rigName}'. ${
      reversed.length === 0
        ? 'Force and position count the right way round.'
        : `The counts of ${reversed.join(' and ')} run the other way; calibration turns them round.`
    }`,
  );
  const row = (quantity: string, value: number, unit: string) => ({
    quantity,
    value: formatNumber(value, 4),
    unit,
  });
  const { drive, gravity_m_per_s2: gravity } = profile;
  process.stdout.write(
    `\n${careTable([
      row('Load printed on the cell', profile.cellCapacity_N, 'N'),
      row('A run ends at', profile.forceLimit_N, 'N'),
      row('Travel', 1000 * profile.stroke_m, 'mm'),
      ...(drive ? [row('Fastest speed', drive.speedMax_rev_per_s, 'rev/s')] : []),
      row('Nothing mounted', profile.forceZero_counts, 'counts'),
      row('Full extension', profile.fullExtension_counts, 'counts'),
      ...(gravity ? [row('Local gravity', gravity, 'm/s²')] : []),
    ])}\n`,
  );
  sayNext(
    `dashpot-bench calibrate force --port ${port ?? 'PORT'} --masses 100,200,500,800,1000`,
    'finds out what the counts are in newton, with known masses',
  );
}
