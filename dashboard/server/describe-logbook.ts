import type { Build, Logbook, Recording } from '../../daq/index.js';
import { changeText } from '../wording/index.js';
import type { ApiBuild, ApiRecording, BuildsBody } from './api.js';

/** Shocks, builds and recordings of a logbook as the page is told them; discarded recordings too, so that they can be seen. */
export function describeLogbook(logbook: Logbook): BuildsBody {
  const recordings = logbook.listRecordings({ withDiscarded: true });
  const photos = logbook.listPhotos().filter(({ binned }) => !binned);
  return {
    shocks: logbook
      .listShocks()
      .map(({ id, name, properties }) => ({ id, name, note: String(properties.note ?? '') })),
    builds: logbook.listBuilds().map((build) => ({
      ...describeBuild(build),
      photos: photos
        .filter(({ buildId }) => buildId === build.id)
        .map(({ id, caption, width_px, height_px }) => ({ id, caption, width_px, height_px })),
      recordings: recordings.filter(({ buildId }) => buildId === build.id).map(describeRecording),
    })),
  };
}

function describeBuild(build: Build): Omit<ApiBuild, 'photos' | 'recordings'> {
  const { id, shockId, name, parentBuildId, change, properties, fitted, changes } = build;
  const derived = changes.map(({ part, from, to }) => changeText(part, from, to)).join('; ');
  return {
    id,
    shockId,
    name,
    parentId: parentBuildId,
    change: change || (parentBuildId === null ? '' : derived),
    said: change,
    note: String(properties.note ?? ''),
    parts: fitted,
    changes,
  };
}

function describeRecording(recording: Recording): ApiRecording {
  const { id, buildId, remount, state, stateReason, procedure, startedAt, identity, simulated, source } =
    recording;
  return {
    id,
    buildId,
    remount,
    state,
    stateReason,
    procedure: procedure.name,
    startedAt,
    rig: identity
      ? `${identity.rigName}${identity.unchecked ? ', unchecked lines' : ''}`
      : source
        ? `file ${source.split(/[\\/]/).at(-1)}`
        : 'unknown',
    simulated,
  };
}
