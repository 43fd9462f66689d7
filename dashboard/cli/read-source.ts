import type { TraceInput } from '../../analysis/index.js';
import { openLogbook, type RecordingId, readTraceCsv } from '../../daq/index.js';
import type { Source } from './source.js';

/** A recording in SI units. @throws coded errors of the acquisition room for what cannot be read */
export async function readSource(source: Source): Promise<TraceInput> {
  if (source.kind === 'file') return (await readTraceCsv(source.path)).trace;
  const logbook = openLogbook(source.logbook, { readOnly: true });
  try {
    return logbook.readRecording(source.id as RecordingId).trace;
  } finally {
    logbook.close();
  }
}
