import type { FittedSamples } from './findings/evidence.js';
import type { RecordedMotion } from './identification/prepare.js';
import type { Stroke } from './kinematics/strokes.js';
import type { SlowSweep } from './result.js';

const parts = 24;
/** Share of a stroke to either side of its middle that counts as sliding at its speed. */
const middleShare = 0.3;
/** Travel in which a seal breaks away, m. */
const startTravel_m = 1.5e-3;
const fewestSamples = 10;

/**
 * Reads a slow sweep stroke by stroke. Drag is the measured force less fitted gas, damping and inertia, so that an
 * uneven bore, the fall of drag with speed and the rise with rest show as they are and not as the model has them.
 * @param samples measured beside fitted
 * @param motion the same recording's strokes and rests
 */
export function slowSweepOf(samples: FittedSamples, motion: RecordedMotion): SlowSweep {
  const { strokes, turns } = motion.strokes;
  const runs = strokeRuns(samples, strokes);
  const bySpeed = runs.toSorted((a, b) => a.stroke.peakSpeed_m_per_s - b.stroke.peakSpeed_m_per_s);
  const dragAtSpeed = bySpeed.flatMap(({ stroke, drag_N, along, speed_m_per_s }) => {
    const sliding = pick(drag_N, (i) => Math.abs(along[i] - 0.5) < middleShare);
    const speed = pick(speed_m_per_s, (i) => Math.abs(along[i] - 0.5) < middleShare);
    if (sliding.length < fewestSamples) return [];
    return [{ velocity_mm_per_s: 1e3 * mean(speed), direction: stroke.direction, drag_N: mean(sliding) }];
  });
  const starts = runs.flatMap(({ stroke, k, drag_N, along, speed_m_per_s }) => {
    const start = pick(drag_N, (i) => along[i] * stroke.amplitude_m < startTravel_m);
    const sliding = pick(drag_N, (i) => Math.abs(along[i] - 0.5) < middleShare);
    const speed = pick(speed_m_per_s, (i) => Math.abs(along[i] - 0.5) < middleShare);
    if (start.length < fewestSamples || sliding.length < fewestSamples) return [];
    const excess_N = highestOfThree(start) - mean(sliding);
    const velocity_mm_per_s = 1e3 * mean(speed);
    return [{ dwell_s: turns[k].dwell_s, velocity_mm_per_s, direction: stroke.direction, excess_N }];
  });
  return {
    dragAlong: dragAlong(bySpeed.slice(0, Math.ceil(bySpeed.length / 2)), motion),
    dragAtSpeed,
    starts,
  };
}

/** One stroke's samples: drag along the motion, share of the stroke travelled, speed, position. */
interface StrokeRun {
  readonly k: number;
  readonly stroke: Stroke;
  readonly drag_N: Float64Array;
  readonly along: Float64Array;
  readonly speed_m_per_s: Float64Array;
  readonly position_m: Float64Array;
}

function strokeRuns(samples: FittedSamples, strokes: readonly Stroke[]): StrokeRun[] {
  return strokes.flatMap((stroke, k) => {
    const [from, to] = [samples.firstOf[k], samples.firstOf[k + 1]];
    if (!stroke.complete || from === to) return [];
    const sign = stroke.direction === 'compression' ? 1 : -1;
    const position_m = samples.position_m.subarray(from, to);
    const begin_m = position_m[0];
    return {
      k,
      stroke,
      position_m,
      drag_N: samples.drag_N.subarray(from, to).map((force) => sign * force),
      along: position_m.map((x) => (sign * (x - begin_m)) / stroke.amplitude_m),
      speed_m_per_s: samples.velocity_m_per_s.subarray(from, to).map(Math.abs),
    };
  });
}

function dragAlong(runs: readonly StrokeRun[], { low_m, high_m }: RecordedMotion): SlowSweep['dragAlong'] {
  const sums = { compression: new Float64Array(parts), rebound: new Float64Array(parts) };
  const counts = { compression: new Float64Array(parts), rebound: new Float64Array(parts) };
  for (const { stroke, position_m, drag_N } of runs)
    for (let i = 0; i < drag_N.length; i++) {
      const part = Math.floor((parts * (position_m[i] - low_m)) / (high_m - low_m));
      if (part < 0 || part >= parts) continue;
      sums[stroke.direction][part] += drag_N[i];
      counts[stroke.direction][part]++;
    }
  const meanIn = (direction: Stroke['direction'], part: number) =>
    counts[direction][part] > 0 ? sums[direction][part] / counts[direction][part] : null;
  return Array.from({ length: parts }, (_, part) => ({
    position_mm: 1e3 * (low_m + ((part + 0.5) / parts) * (high_m - low_m)),
    compression_N: meanIn('compression', part),
    rebound_N: meanIn('rebound', part),
  }));
}

/** Highest mean of three samples in a row, so that noise does not stand for breakaway. */
function highestOfThree(values: Float64Array): number {
  let highest = Number.NEGATIVE_INFINITY;
  for (let i = 2; i < values.length; i++)
    highest = Math.max(highest, (values[i - 2] + values[i - 1] + values[i]) / 3);
  return highest;
}

const pick = (values: Float64Array, wanted: (i: number) => boolean) => values.filter((_, i) => wanted(i));
const mean = (values: Float64Array) => values.reduce((a, b) => a + b, 0) / values.length;
