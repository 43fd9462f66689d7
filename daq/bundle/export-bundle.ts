import { createWriteStream } from 'node:fs';
import { mkdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { DaqError } from '../daq-error.js';
import { unwritable } from '../files/unwritable.js';
import type { Build, BuildId, RecordingId, StoredChannel } from '../logbook/entities.js';
import type { Logbook } from '../logbook/open-logbook.js';
import { BUNDLE_FORMAT, BUNDLE_VERSION, DESCRIPTION_FILE } from './bundle-format.js';
import { channelCsv } from './channel-csv.js';

/**
 * Writes a recording as a folder that holds all of it, exactly: recording.json and one CSV a channel.
 * @param folder made here; what was there before is never touched
 * @throws DaqError 'unknown-name', 'wrong-state' while it is being recorded, 'file-exists', 'file-unwritable'
 */
export async function exportBundle(logbook: Logbook, id: RecordingId, folder: string): Promise<void> {
  const files = bundleFiles(logbook, id);
  let isOurs = false;
  try {
    await mkdir(folder);
    isOurs = true;
    for (const { path, chunks } of files)
      await pipeline(Readable.from(chunks), createWriteStream(join(folder, path)));
  } catch (error) {
    if (isOurs) await rm(folder, { recursive: true, force: true });
    throw unwritable(folder, error);
  }
}

/** A file that is still to be written somewhere: its name there, and its content bit by bit. */
export interface FileToWrite {
  readonly path: string;
  readonly chunks: Iterable<string | Uint8Array>;
}

/**
 * The files of a bundle; the description comes last, so that a folder with one is a whole bundle.
 * @throws as `exportBundle`, and 'logbook-damaged'
 */
export function bundleFiles(logbook: Logbook, id: RecordingId): FileToWrite[] {
  const channels = logbook.readChannels(id);
  const description = describeRecording(logbook, id, channels);
  return [
    ...channels.map((channel) => ({ path: `${channel.kind}.csv`, chunks: channelCsv(channel) })),
    { path: DESCRIPTION_FILE, chunks: [`${JSON.stringify(description, null, 2)}\n`] },
  ];
}

/**
 * All that is known of a recording besides its samples, as a bundle holds it.
 * @param channels its samples, read already
 * @throws DaqError 'unknown-name', 'wrong-state' while it is being recorded
 */
export function describeRecording(logbook: Logbook, id: RecordingId, channels: readonly StoredChannel[]) {
  const recording = logbook.findRecording(id);
  if (!recording)
    throw new DaqError('unknown-name', {
      where: `recording ${id}`,
      found: 'no such recording',
      wanted: 'one of this logbook',
    });
  const { startedAt, remount, state, stateReason, procedure, identity, statistics, simulated, seed, source } =
    recording;
  if (state === 'recording')
    throw new DaqError('wrong-state', {
      where: `recording ${id}`,
      found: 'a recording that is being recorded',
      wanted: 'one that has ended',
    });
  const calibration = logbook.findCalibration(recording.calibrationId)!;
  const continued = recording.continues === null ? null : logbook.findRecording(recording.continues)!;
  const readOff_degC = logbook.manualTemperature_degC(id);
  const [build, ...ancestors] = lineageOf(logbook, recording.buildId);
  const shock = logbook.findShock(recording.shockName)!;
  return {
    format: BUNDLE_FORMAT,
    version: BUNDLE_VERSION,
    shock: { name: shock.name, properties: shock.properties },
    build: {
      ...describeBuild(build!),
      parentName: build!.parentName,
      // What it has inherited comes along, the oldest first.
      ...(ancestors.length > 0 && { ancestors: ancestors.toReversed().map(describeBuild) }),
    },
    recording: {
      startedAt,
      remount,
      state,
      stateReason,
      procedure,
      identity,
      statistics,
      simulated,
      seed,
      source,
      ...(continued && { continuesStartedAt: continued.startedAt }),
      ...(readOff_degC !== null && { manualTemperature_degC: readOff_degC }),
    },
    calibration: calibration.rigId && {
      note: calibration.note,
      createdAt: calibration.createdAt,
      calibration: calibration.calibration,
    },
    channels: channels.map((channel) => ({
      kind: channel.kind,
      unit: channel.unit,
      samples: 'counts' in channel ? channel.counts.length : channel.values.length,
    })),
  };
}

/** A build, what it was made from, and so on to the first. */
function lineageOf(logbook: Logbook, id: BuildId): Build[] {
  const builds = logbook.listBuilds({ withBinned: true });
  const lineage: Build[] = [];
  for (let next = builds.find((build) => build.id === id); next; ) {
    lineage.push(next);
    const { parentBuildId } = next;
    next = builds.find((build) => build.id === parentBuildId);
  }
  return lineage;
}

/** Of a parent that was deleted for good, only what was fitted is left. */
const describeBuild = ({ name, change, parentName, properties, wholeProperties }: Build) => ({
  name,
  change,
  properties: parentName === null ? wholeProperties : properties,
});
