import { DaqError } from '../daq-error.js';
import { bin } from './bin.js';
import { blocks } from './blocks.js';
import { calibrationParts } from './calibration-parts.js';
import { edits } from './edits.js';
import type {
  CalibrationId,
  ImportedChannel,
  NewRecording,
  RecordingId,
  RecordingReading,
} from './entities.js';
import { manualTemperatures } from './manual-temperatures.js';
import { type Connection, inOneGo, openDatabase } from './open-database.js';
import { photos } from './photos.js';
import { thisProcess } from './recording-owner.js';
import { recordings } from './recordings.js';
import { resultsAndChecks } from './results-and-checks.js';
import { rigProfiles } from './rig-profiles.js';
import { rigsAndCalibrations } from './rigs-and-calibrations.js';
import { IDENTITY_CALIBRATION_ID } from './schema.js';
import { shelf } from './shelf.js';
import { shocksAndBuilds } from './shocks-and-builds.js';
import { traceOfRecording } from './trace-of-recording.js';

export interface LogbookOptions {
  /** Makes and changes nothing in the logbook. */
  readonly readOnly?: boolean;
  /** Time of day as UTC ISO 8601; for logbooks that must come out the same byte for byte. */
  readonly now?: () => string;
  /** Most bytes the file may grow to; writing past them fails as on a full disk. */
  readonly most_bytes?: number;
  /** Who records, for telling later whether that process still lives. */
  readonly owner?: string;
}

/** An import has no rig: its values are N and m already. */
export type NewImport = Omit<NewRecording, 'rigId' | 'calibrationId' | 'identity' | 'simulated' | 'seed'>;

export type Logbook = ReturnType<typeof openLogbook>;

/**
 * Opens a logbook: one SQLite file in which samples are durable once written and nothing recorded is deleted.
 * @param path the file; made, with its folder, when it is not there and not to be read only
 * @throws DaqError 'logbook-missing', 'logbook-foreign', 'logbook-newer', 'logbook-unwritable', 'logbook-busy'
 */
export function openLogbook(path: string, options: LogbookOptions = {}) {
  const readOnly = options.readOnly ?? false;
  const now = options.now ?? (() => new Date().toISOString());
  const connection = openDatabase(path, readOnly);
  if (options.most_bytes !== undefined) limitTo(connection, options.most_bytes);
  const history = edits(connection, now);
  const recordingPart = recordings(connection, now, options.owner ?? thisProcess(), history);
  const calibrationPart = rigsAndCalibrations(connection, now);
  const blockPart = blocks(connection);
  const temperaturePart = manualTemperatures(connection, now);
  if (!readOnly) recordingPart.closeOrphans();

  return {
    path,
    readOnly,
    close: () => void connection.close(),
    /**
     * A number that changes when somebody else wrote to the file: another process, or another opening in this one.
     * Source: SQLite documentation, PRAGMA data_version.
     */
    writesOfOthers: () => connection.pragma('data_version', { simple: true }) as number,
    /** Runs `work` so that all it writes is kept, or none of it. */
    inOneGo: <T>(work: () => T): T => inOneGo(connection, work),
    ...shocksAndBuilds(connection, now, history),
    ...calibrationPart,
    ...recordingPart,
    ...blockPart,
    ...temperaturePart,
    ...calibrationParts(connection, now, calibrationPart),
    ...rigProfiles(connection, now),
    ...resultsAndChecks(connection, now),
    ...shelf(connection, now, history),
    ...photos(connection, now, history),
    ...bin(connection, history),
    editsAtHand: history.editsAtHand,
    undoEdit: history.undoEdit,
    redoEdit: history.redoEdit,
    /** Enters a recording that came from a file, whole and complete. */
    importRecording(recording: NewImport, channels: readonly ImportedChannel[]): RecordingId {
      return inOneGo(connection, () => {
        const id = recordingPart.startRecording({
          ...recording,
          rigId: null,
          calibrationId: IDENTITY_CALIBRATION_ID as CalibrationId,
          identity: null,
          simulated: false,
        });
        blockPart.appendBlocks(id, channels);
        recordingPart.finishRecording(id, { state: 'complete' });
        return id;
      });
    },
    /**
     * Reads a recording in SI units under its own calibration, or under another one.
     * @throws DaqError 'unknown-name' when there is no such recording or calibration
     */
    readRecording(id: RecordingId, calibrationId?: CalibrationId): RecordingReading {
      const recording = recordingPart.findRecording(id);
      if (!recording) throw unknown(`recording ${id}`, 'a recording of this logbook', path);
      const calibration = calibrationPart.findCalibration(calibrationId ?? recording.calibrationId);
      if (!calibration) throw unknown(`calibration ${calibrationId}`, 'a calibration of this logbook', path);
      const channels = blockPart.readChannels(id);
      const { trace, trust } = traceOfRecording(
        channels,
        calibration.calibration,
        recording.identity,
        temperaturePart.manualTemperature_degC(id),
      );
      const procedure = recording.procedure.name === 'unknown' ? null : recording.procedure.name;
      return { recording, calibration, trace: { ...trace, procedure }, trust };
    },
  };
}

function limitTo(connection: Connection, most_bytes: number): void {
  const pageSize_bytes = connection.pragma('page_size', { simple: true }) as number;
  connection.pragma(`max_page_count = ${Math.floor(most_bytes / pageSize_bytes)}`);
}

function unknown(found: string, wanted: string, where: string): DaqError {
  return new DaqError('unknown-name', { where, found, wanted });
}
