import { basename, join, resolve } from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import type { Calibration } from '../calibration.js';
import { DaqError } from '../daq-error.js';
import { readSource } from '../files/read-source.js';
import { type FittedPart, partsOfBuild, wholeProperties } from '../logbook/build-parts.js';
import type {
  BuildId,
  CalibrationId,
  Properties,
  RecordingId,
  RigId,
  ShockId,
  StoredChannel,
} from '../logbook/entities.js';
import type { Logbook } from '../logbook/open-logbook.js';
import { IDENTITY_CALIBRATION_ID } from '../logbook/schema.js';
import { DESCRIPTION_FILE } from './bundle-format.js';
import type { BundleDescription } from './bundle-shape.js';
import { readChannelCsv } from './channel-csv.js';

type Ancestor = NonNullable<BundleDescription['build']['ancestors']>[number];

/** A bundle as read, before it is in any logbook. */
export interface Bundle {
  readonly folder: string;
  readonly description: BundleDescription;
  readonly channels: readonly StoredChannel[];
}

/**
 * Reads a bundle that `exportBundle` wrote.
 * @throws DaqError 'file-…', 'bundle-invalid', 'csv-…'
 */
export async function readBundle(folder: string): Promise<Bundle> {
  const [{ readJson }, { bundleShape }] = await Promise.all([
    import('../files/json-file.js'),
    import('./bundle-shape.js'),
  ]);
  const description = await readJson(join(folder, DESCRIPTION_FILE), bundleShape, 'bundle-invalid');
  const channels: StoredChannel[] = [];
  for (const described of description.channels)
    channels.push(readChannelCsv(await readSource(join(folder, `${described.kind}.csv`)), described));
  return { folder, description, channels };
}

/**
 * Enters a bundle into a logbook, all of it or nothing: shock, build, rig and calibration are those already there
 * by the same name (a calibration: with the same numbers), or new ones.
 * @throws DaqError 'name-taken' when its build's name belongs to another shock here, or the recording is here already
 */
export function importBundle(logbook: Logbook, { folder, description, channels }: Bundle): RecordingId {
  return logbook.inOneGo(() => {
    const { state, stateReason, statistics, manualTemperature_degC, continuesStartedAt, ...recording } =
      description.recording;
    const buildId = buildOf(logbook, description);
    refuseTwice(logbook, buildId, recording, folder);
    const rigId = recording.identity && logbook.rigNamed(recording.identity.rigName);
    const id = logbook.startRecording({
      ...recording,
      buildId,
      rigId,
      calibrationId: calibrationOf(logbook, rigId, description),
      source: recording.source ?? basename(resolve(folder)),
      continues:
        logbook.listRecordings({ buildId }).find(({ startedAt }) => startedAt === continuesStartedAt)?.id ??
        null,
    });
    logbook.appendBlocks(id, channels);
    if (manualTemperature_degC !== undefined) logbook.enterTemperature(id, manualTemperature_degC);
    logbook.finishRecording(id, { state, reason: stateReason, statistics });
    return id;
  });
}

/** Twice the same recording would pass for two remounts, and make a difference look surer than it is. */
function refuseTwice(
  logbook: Logbook,
  buildId: BuildId,
  { startedAt, remount }: Pick<BundleDescription['recording'], 'startedAt' | 'remount'>,
  folder: string,
): void {
  const same = logbook
    .listRecordings({ buildId })
    .find((existing) => existing.startedAt === startedAt && existing.remount === remount);
  if (same)
    throw new DaqError('name-taken', {
      where: folder,
      found: `recording ${same.id} of this logbook, which is the same`,
      wanted: 'another recording',
    });
}

function buildOf(logbook: Logbook, { shock, build }: BundleDescription): BuildId {
  const existing = logbook.findBuild(build.name);
  if (existing && existing.shockName !== shock.name)
    throw new DaqError('name-taken', {
      where: 'build name',
      found: `'${build.name}', which is a build of shock '${existing.shockName}' here`,
      wanted: `one of shock '${shock.name}'`,
    });
  if (existing) return existing.id;
  const { id: shockId } = logbook.findShock(shock.name) ?? logbook.createShock(shock);
  const { name, change, parentName } = build;
  const ancestors = build.ancestors ?? (parentName === null ? [] : [{ name: parentName }]);
  const parentBuildId = parentOf(logbook, shockId, ancestors);
  // Where nothing can stand for what it was made from, it has of itself what it had inherited.
  const properties = parentBuildId === null ? inheritedWith(build) : build.properties;
  return logbook.createBuild({ name, change, properties, shockId, parentBuildId }).id;
}

/** The last of a build's ancestors, which are those already there or new ones; null where a name is another shock's. */
function parentOf(
  logbook: Logbook,
  shockId: ShockId,
  ancestors: readonly (Pick<Ancestor, 'name'> & Partial<Ancestor>)[],
): BuildId | null {
  const here = ancestors.map(({ name }) => logbook.findBuild(name));
  if (here.some((existing) => existing && existing.shockId !== shockId)) return null;
  return ancestors.reduce<BuildId | null>((parentBuildId, { name, change, properties }, i) => {
    if (here[i]) return here[i].id;
    return properties
      ? logbook.createBuild({ shockId, name, parentBuildId, change: change ?? '', properties }).id
      : parentBuildId;
  }, null);
}

/** What a build says of itself, with all that its ancestors said of what it does not name. */
function inheritedWith({ properties, ancestors = [] }: BundleDescription['build']): Properties {
  const before = ancestors.reduce<FittedPart[]>((parts, own) => partsOfBuild(own.properties, parts), []);
  return wholeProperties(properties, partsOfBuild(properties, before));
}

function calibrationOf(logbook: Logbook, rigId: RigId | null, description: BundleDescription): CalibrationId {
  const described = description.calibration;
  if (rigId === null || described === null) return IDENTITY_CALIBRATION_ID as CalibrationId;
  const calibration: Calibration = described.calibration;
  const same = logbook
    .listCalibrations(rigId)
    .find((existing) => isDeepStrictEqual(existing.calibration, calibration));
  return (same ?? logbook.addCalibration(rigId, calibration, described.note, described.createdAt)).id;
}
