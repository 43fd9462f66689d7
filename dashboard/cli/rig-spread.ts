import type { KnownSpread } from '../../analysis/index.js';
import type { Logbook, RecordingId } from '../../daq/index.js';
import { knownSpread } from '../answers/index.js';
import type { Source } from './source.js';

/**
 * The long-run spread of the rig that made all of some recordings.
 * @returns undefined where there are files among them, or recordings of several rigs
 */
export function spreadBeside(logbook: Logbook | null, sources: readonly Source[]): KnownSpread | undefined {
  const ids = sources.flatMap((source) => (source.kind === 'recording' ? [source.id as RecordingId] : []));
  if (!logbook || ids.length === 0 || ids.length < sources.length) return undefined;
  return knownSpread(logbook.remountSpreadBeside(ids.map((id) => logbook.findRecording(id)!)));
}
