import type { TraceInput } from '../../analysis/index.js';
import { type Logbook, openLogbook, type RecordingId, readTraceCsv } from '../../daq/index.js';
import { badInput } from './failure.js';
import type { Source } from './source.js';

/** A recording in SI units. @throws coded errors of the acquisition room for what cannot be read */
export async function readSource(source: Source): Promise<TraceInput> {
  const trace = await recordedTrace(source);
  return source.procedure ? { ...trace, procedure: source.procedure } : trace;
}

async function recordedTrace(source: Source): Promise<TraceInput> {
  if (source.kind === 'file') return (await readTraceCsv(source.path)).trace;
  const logbook = openLogbook(source.logbook, { readOnly: true });
  try {
    return logbook.readRecording(source.id as RecordingId, calibrationFor(logbook, source)).trace;
  } finally {
    logbook.close();
  }
}

/** The calibration that was asked for instead of the recording's own. */
function calibrationFor(
  logbook: Logbook,
  { id, label, calibration }: Extract<Source, { kind: 'recording' }>,
) {
  if (calibration === undefined) return undefined;
  const rigId = logbook.findRecording(id as RecordingId)?.rigId;
  if (!rigId)
    throw badInput('an imported recording', "a rig's for --calibration: imported values are N and m", label);
  return logbook.calibrationNamed(rigId, calibration).id;
}
