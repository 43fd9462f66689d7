import { type BareStroke, findStrokes, type StrokePattern, strokePattern } from '../kinematics/strokes.js';
import { extent } from '../numerics/summary.js';
import type { AnalysisRefusal } from '../result.js';
import type { Trace } from '../trace.js';
import { straightenStrokes } from './monotone-strokes.js';
import { gridMotion, type MotionGrid, type Span } from './motion-grid.js';
import { withOnsets } from './onsets.js';
import { findRests, type Rest } from './rests.js';
import { sampleNoise } from './sample-noise.js';
import { type MotionNodes, smoothMotion } from './smooth-motion.js';

/** Motion of a recording, known before anything is fitted. */
export interface RecordedMotion {
  readonly nodes: MotionNodes;
  readonly strokes: StrokePattern;
  /** Number of strokes during which force was measured; all of them until `asFelt` looks. */
  readonly feltStrokes: number;
  readonly rests: readonly Rest[];
  readonly low_m: number;
  readonly high_m: number;
  readonly fastest_m_per_s: number;
}

export type MotionOutcome =
  | { readonly ok: true; readonly motion: RecordedMotion }
  | { readonly ok: false; readonly refusal: AnalysisRefusal };

const leastPositionSamples = 30;
const leastForceSamples = 60;
const leastTravel_m = 0.2e-3;

/** Smooths the position channel and cuts it into strokes and rests, or says why it cannot. */
export function recordedMotion(trace: Trace): MotionOutcome {
  const { time_s, position_m } = trace.position;
  const refuse = (code: AnalysisRefusal['code'], found: string, wanted: string): MotionOutcome => ({
    ok: false,
    refusal: { code, found, wanted },
  });
  if (time_s.length < leastPositionSamples)
    return refuse('too-short', `${time_s.length} position samples`, `at least ${leastPositionSamples}`);
  if (trace.force.time_s.length < leastForceSamples)
    return refuse('too-short', `${trace.force.time_s.length} force samples`, `at least ${leastForceSamples}`);
  if (trace.force.force_N.every((value) => value === trace.force.force_N[0]))
    return refuse(
      'constant-force',
      `every force sample is ${trace.force.force_N[0]} N`,
      'a force that varies',
    );
  const noise_m = sampleNoise(time_s, position_m);
  const { turns, strokes: spans } = findStrokes(time_s, position_m);
  const [low_m, high_m] = extent(position_m);
  if (high_m - low_m < Math.max(leastTravel_m, 20 * noise_m) || spans.length < 2) {
    const complete = spans.filter((stroke) => stroke.complete).length;
    return refuse(
      'no-motion',
      `${((high_m - low_m) * 1e3).toFixed(3)} mm of travel and ${complete} whole strokes`,
      'a shock that is stroked both ways',
    );
  }
  const slowest = spans.reduce(
    (least, { amplitude_m, start_s, end_s }) =>
      Math.min(least, amplitude_m / Math.max(1e-3, end_s - start_s)),
    Number.POSITIVE_INFINITY,
  );
  const rests = withOnsets(time_s, position_m, findRests(time_s, position_m, noise_m, slowest), noise_m);
  const nodes = smoothMotion(time_s, position_m, noise_m, rests, localPeriod(spans));
  const strokes = strokePattern(turns, spans, nodes);
  // Of strokes, since nodes lead on across a gap at any speed.
  const fastest_m_per_s = strokes.strokes.reduce(
    (most, { peakSpeed_m_per_s }) => Math.max(most, peakSpeed_m_per_s),
    0,
  );
  const feltStrokes = spans.length;
  return { ok: true, motion: { nodes, strokes, feltStrokes, rests, low_m, high_m, fastest_m_per_s } };
}

/** Smoothed motion on a grid over some spans of time. */
export function motionOnGrid(motion: RecordedMotion, spans: readonly Span[], step_s: number): MotionGrid {
  const grid = gridMotion(motion.nodes, spans, step_s);
  for (const { from, end } of grid.spans)
    straightenStrokes(
      grid.position_m.subarray(from, end),
      grid.velocity_m_per_s.subarray(from, end),
      2 * motion.nodes.sampleNoise_m,
    );
  return grid;
}

function localPeriod(strokes: readonly BareStroke[]): (time_s: number) => number {
  let i = 0;
  return (time_s) => {
    if (time_s < strokes[i].start_s) i = 0;
    while (i < strokes.length - 1 && strokes[i].end_s < time_s) i++;
    return 2 * (strokes[i].end_s - strokes[i].start_s);
  };
}
