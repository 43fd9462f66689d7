import type { Logbook, Recording } from '../../daq/index.js';
import type { ApiRecording, BuildsBody } from './api.js';

/** Shocks, builds and recordings of a logbook as the page is told them; discarded recordings too, so that they can be seen. */
export function describeLogbook(logbook: Logbook): BuildsBody {
  const recordings = logbook.listRecordings({ withDiscarded: true });
  return {
    shocks: logbook.listShocks().map(({ id, name }) => ({ id, name })),
    builds: logbook.listBuilds().map(({ id, shockId, name, parentBuildId, change }) => ({
      id,
      shockId,
      name,
      parentId: parentBuildId,
      change,
      recordings: recordings.filter((recording) => recording.buildId === id).map(describeRecording),
    })),
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
