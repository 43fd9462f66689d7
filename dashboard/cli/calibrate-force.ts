import {
  gravityAnywhere,
  gravityUncertainty_m_per_s2,
  hangingForce_N,
  normalGravity_m_per_s2,
} from '../../analysis/index.js';
import {
  type ForceEvidence,
  type FoundPart,
  forceFrom,
  guideForce,
  type KnownValuesFile,
  knownReadings,
  readKnownValuesCsv,
  usualMassUncertainty,
} from '../../daq/index.js';
import { forceRows, forceSentence, loadCautions } from '../wording/index.js';
import { type EntryOptions, enterAndTell, profileOf, rigOfReadings } from './calibration-entry.js';
import { badInput } from './failure.js';
import { leadAtRig, type RigOptions } from './lead-at-rig.js';
import { guided } from './operator.js';
import { wrap } from './terminal.js';

interface ForceOptions extends EntryOptions, RigOptions {
  readonly masses?: readonly number[];
  readonly loads?: string;
  readonly runs?: number;
  readonly gravity?: number;
  readonly latitude?: number;
  readonly height?: number;
  readonly massUncertainty?: number;
  readonly pull?: boolean;
  readonly capacity?: number;
}

export async function calibrateForceAtRig(options: ForceOptions): Promise<void> {
  const file =
    options.loads === undefined ? null : await readKnownValuesCsv(options.loads, ['mass', 'force']);
  if (file?.readings_counts) await fromReadings(options, file);
  else await atRig(options, file);
}

async function fromReadings(options: ForceOptions, file: KnownValuesFile): Promise<void> {
  const rigName = await rigOfReadings(options);
  const gravity = await gravityFor(options, rigName);
  const sense = options.pull ? -1 : 1;
  const readings = knownReadings(file, (value) =>
    file.quantity === 'force' ? value : sense * hangingForce_N(value, gravity.value_m_per_s2),
  );
  const referenceUncertainty = uncertaintyOf(options, file.quantity === 'force' ? 0 : gravity.relative);
  const conditions = {
    file: options.loads,
    referenceUncertainty,
    ...(file.quantity === 'mass' && { gravity_m_per_s2: gravity.value_m_per_s2 }),
  };
  await tell(options, rigName, forceFrom(readings, conditions));
}

async function atRig(options: ForceOptions, file: KnownValuesFile | null): Promise<void> {
  if (file?.quantity === 'force')
    throw badInput(
      'forces without readings',
      'masses to hang, or reading_counts beside the forces',
      options.loads,
    );
  const masses_kg =
    options.masses?.map((mass_g) => mass_g / 1000) ?? (file && [...file.values].filter(Boolean));
  if (!masses_kg)
    throw badInput('nothing to hang', '--masses 100,200,500,800,1000 in grams, or --loads FILE');
  await leadAtRig(options, 'bare-slide', async ({ link, played, rigName, signal }) => {
    const gravity = await gravityFor(options, rigName);
    const profile = await profileOf(options.logbook, rigName);
    const plan = {
      masses_kg,
      runs: options.runs ?? 3,
      gravity_m_per_s2: gravity.value_m_per_s2,
      referenceUncertainty: uncertaintyOf(options, gravity.relative),
      sense: options.pull ? (-1 as const) : (1 as const),
      cellCapacity_N: options.capacity ?? profile?.cellCapacity_N ?? null,
    };
    const found = await guided(played, loadCautions, signal, (operator) =>
      guideForce(link, plan, operator, signal),
    );
    await tell(options, rigName, found);
  });
}

async function tell(options: ForceOptions, rigName: string, found: FoundPart<ForceEvidence>): Promise<void> {
  const { calibration, drift } = found.evidence;
  await enterAndTell(options, rigName, found, {
    sentence: forceSentence(calibration),
    rows: forceRows(calibration, drift),
  });
}

function uncertaintyOf({ massUncertainty }: ForceOptions, ofGravity: number): number {
  return Math.hypot(massUncertainty === undefined ? usualMassUncertainty : massUncertainty / 100, ofGravity);
}

async function gravityFor(options: ForceOptions, rigName: string) {
  const { gravity, latitude, height } = options;
  if (gravity !== undefined) return { value_m_per_s2: gravity, relative: 0 };
  if (latitude !== undefined) {
    if (Math.abs(latitude) > 90) throw badInput(`--latitude ${latitude}`, '−90 to 90 degrees');
    const value_m_per_s2 = normalGravity_m_per_s2(latitude, height ?? 0);
    return { value_m_per_s2, relative: gravityUncertainty_m_per_s2 / value_m_per_s2 };
  }
  const known = (await profileOf(options.logbook, rigName))?.gravity_m_per_s2;
  if (known) return { value_m_per_s2: known, relative: 0 };
  process.stderr.write(
    `${wrap('Local gravity was not given: 9.80665 m/s² is taken, which may be off by 0.3 %. --latitude makes that 0.006 %.', 78)}\n`,
  );
  return gravityAnywhere;
}
