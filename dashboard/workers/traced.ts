import { makeTrace, pairedSamples, type Trace, type TraceInput } from '../../analysis/index.js';
import type { Logbook, RecordingId } from '../../daq/index.js';
import type { ApiSlowPoints } from '../server/api.js';
import type { Outcome } from './next-step.js';
import { thinned } from './thinned.js';

/** Reads a recording of the logbook as it was measured. */
export type ReadTrace = (recordingId: number) => TraceInput;

export const tracesOf =
  (logbook: Logbook): ReadTrace =>
  (recordingId) =>
    logbook.readRecording(recordingId as RecordingId).trace;

/** A recording as slow strokes are read from it. */
export function traced(read: ReadTrace, recordingId: number, where: string): Outcome<Trace> {
  const made = makeTrace(read(recordingId));
  return made.ok ? { ok: true, answer: made.trace } : { ok: false, refusal: made.refusal, where };
}

const mostPoints = 1200;
const digits = 5;

/** Measured force against position, thinned for drawing. */
export function slowPoints(trace: Trace): ApiSlowPoints {
  const { position_m, force_N } = pairedSamples(trace);
  const every = Math.max(1, Math.ceil(force_N.length / mostPoints));
  return {
    position_mm: thinned(position_m, every, digits, 1e3),
    force_N: thinned(force_N, every, digits),
  };
}
