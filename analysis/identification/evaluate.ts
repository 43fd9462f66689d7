import {
  dampingTerms,
  type Features,
  motionColumn,
  type StrokeSpan,
  type TermName,
  travelSinceReversal,
} from './columns.js';
import { averageInto } from './converter-kernel.js';
import type { MotionGrid } from './motion-grid.js';
import { followSealInto, type SealShape, sealTrack } from './seal-memory.js';

/** Parameters the force depends on nonlinearly. Lengths and speeds are searched by their logarithm. */
export type ShapeName =
  | 'presliding'
  | 'excess'
  | 'stribeck'
  | 'start'
  | 'lag'
  | 'deadStroke'
  | 'airPower'
  | 'stop';

export interface Shape extends SealShape {
  /** Delay of the force channel beyond the converter's own averaging, s. */
  readonly lag_s: number;
  /** Travel after a reversal at which damping has reached half. */
  readonly deadStroke_m: number;
  /** Steepness n with which damping comes back, 1/(1 + (L/s)ⁿ) at travel s since the reversal. */
  readonly airPower: number;
  /** Position at which something is touched. */
  readonly stop_m: number;
}

/** Force samples to be explained and the motion that explains them. */
export interface FitProblem {
  readonly time_s: Float64Array;
  readonly force_N: Float64Array;
  /** 1 where a sample counts, 0 where it is left out (saturated, against a stop, settling). */
  readonly counts: Uint8Array;
  readonly grid: MotionGrid;
  readonly span: StrokeSpan;
  /** Grid steps in one conversion, and how many running means of that width the converter takes. */
  readonly width: number;
  readonly averagings: number;
  readonly features: Features;
  readonly terms: readonly TermName[];
  readonly shapes: readonly ShapeName[];
}

/** Cross products of [linear columns | shape derivatives | measured force], row major, symmetric. */
export interface Gram {
  readonly size: number;
  readonly products: Float64Array;
  readonly used: number;
}

/** Columns on the grid at one shape, after the converter's averaging. */
export interface Evaluation {
  readonly linear: readonly Float64Array[];
  readonly byShape: readonly (Float64Array | null)[];
  /** A sample's place on the grid, in grid steps, is its time over the step plus this. */
  readonly shift: number;
}

/**
 * Prepares a problem for repeated evaluation: columns that depend on the motion alone are built and averaged once;
 * the seal's, and those of a dead stroke or a stop, are renewed at each trial shape.
 */
export function evaluator(problem: FitProblem) {
  const { grid, span, width, averagings, features, terms, shapes } = problem;
  const n = grid.position_m.length;
  const scratch = new Float64Array(n);
  const track = sealTrack(n);
  const up = new Float64Array(n);
  const down = new Float64Array(n);
  const derivatives = shapes.map((name) => (name === 'lag' ? null : new Float64Array(n)));
  const aired = features.air ? deadStroke(grid.position_m) : null;
  const smooth = (column: Float64Array) => {
    averageInto(column, width, averagings, scratch);
    return column;
  };
  const varies = (term: TermName) => (aired !== null && dampingTerms.includes(term)) || term === 'stop';
  const column = (term: TermName, shape: Shape | null) => {
    const shaping = aired && shape ? aired.shaping(shape) : null;
    return motionColumn(term, grid, span, features, shape?.stop_m ?? 0, shaping);
  };
  const fixed = terms.map((term) => {
    const values = varies(term) ? null : column(term, null);
    return values && smooth(values);
  });

  /** Columns at a shape; derivative columns use `coefficients` (null leaves them out). */
  return function evaluate(shape: Shape, coefficients: Float64Array | null): Evaluation {
    followSealInto(track, grid.position_m, grid.velocity_m_per_s, shape);
    for (let k = 0; k < n; k++) {
      const u = track.state[k];
      up[k] = Math.max(u, 0);
      down[k] = Math.min(u, 0);
    }
    const linear = terms.map((term, j) => {
      if (term === 'dragCompression') return smooth(up);
      if (term === 'dragRebound') return smooth(down);
      return varies(term) ? smooth(column(term, shape)!) : fixed[j]!;
    });
    if (coefficients)
      shapes.forEach((name, j) => {
        const by = derivatives[j];
        if (!by) return;
        derivativeInto(by, name, shape, coefficients);
        smooth(by);
      });
    return {
      linear,
      byShape: derivatives,
      shift: -(grid.start_s + shape.lag_s) / grid.step_s - averagings / 2,
    };
  };

  function derivativeInto(
    out: Float64Array,
    name: ShapeName,
    shape: Shape,
    coefficients: Float64Array,
  ): void {
    const of = (term: TermName) => coefficients[terms.indexOf(term)] ?? 0;
    if (name === 'stop') {
      const side = features.stopSide ?? 1;
      const stiffness = of('stop');
      for (let k = 0; k < n; k++) out[k] = side * (grid.position_m[k] - shape.stop_m) > 0 ? -stiffness : 0;
    } else if (name === 'deadStroke' || name === 'airPower') {
      out.fill(0);
      const slope = aired!.slope(shape, name);
      terms.forEach((term, j) => {
        if (!dampingTerms.includes(term)) return;
        const part = motionColumn(term, grid, span, features, 0, slope)!;
        for (let k = 0; k < n; k++) out[k] += coefficients[j] * part[k];
      });
    } else {
      const by = sealDerivative(track, name);
      const levelUp = of('dragCompression');
      const levelDown = of('dragRebound');
      for (let k = 0; k < n; k++) out[k] = by[k] * (track.state[k] > 0 ? levelUp : levelDown);
    }
  }
}

/** Reversals closer together than this do not start a dead stroke anew. */
const reversalHysteresis_m = 0.05e-3;

/** How damping comes back after a reversal, w = 1/(1 + (L/s)ⁿ), and its derivatives by ln L and ln n. */
function deadStroke(position_m: Float64Array) {
  const travel = travelSinceReversal(position_m, reversalHysteresis_m);
  const most = 1e12;
  return {
    shaping: ({ deadStroke_m, airPower }: Shape) =>
      travel.map((s) => 1 / (1 + (deadStroke_m / s) ** airPower)),
    slope: ({ deadStroke_m, airPower }: Shape, by: 'deadStroke' | 'airPower') =>
      travel.map((s) => {
        const ratio = (deadStroke_m / s) ** airPower;
        if (!(ratio < most)) return 0;
        const factor = by === 'deadStroke' ? airPower : Math.log(ratio);
        return ratio > 0 ? (-factor * ratio) / (1 + ratio) ** 2 : 0;
      }),
  };
}

function sealDerivative(track: ReturnType<typeof sealTrack>, name: ShapeName): Float64Array {
  switch (name) {
    case 'presliding':
      return track.byPresliding;
    case 'excess':
      return track.byExcess;
    case 'stribeck':
      return track.byStribeckSpeed;
    case 'start':
      return track.byStart;
    default:
      throw new RangeError(`${name} is not part of the seal`);
  }
}

/**
 * Reads the columns at the force samples' times (less the lag) and sums their cross products in one pass.
 * @param stride use every stride-th sample
 * @param withShapes whether shape derivatives are part of the products (needs `coefficients`)
 */
export function accumulate(
  problem: FitProblem,
  evaluation: Evaluation,
  coefficients: Float64Array | null,
  stride: number,
): Gram {
  const { time_s, force_N, counts, grid, shapes } = problem;
  const { linear, byShape, shift } = evaluation;
  const p = linear.length;
  const q = coefficients ? shapes.length : 0;
  const size = p + q + 1;
  const products = new Float64Array(size * size);
  const row = new Float64Array(size);
  const perStep = 1 / grid.step_s;
  const last = grid.position_m.length - 2;
  let used = 0;
  for (let i = 0; i < time_s.length; i += stride) {
    if (!counts[i]) continue;
    const place = time_s[i] * perStep + shift;
    const k = Math.floor(place);
    if (k < 0 || k > last) continue;
    const share = place - k;
    let slope = 0;
    for (let j = 0; j < p; j++) {
      const column = linear[j];
      const here = column[k];
      const rise = column[k + 1] - here;
      row[j] = here + share * rise;
      if (q > 0) slope += coefficients![j] * rise;
    }
    for (let j = 0; j < q; j++) {
      const column = byShape[j];
      row[p + j] = column ? column[k] + share * (column[k + 1] - column[k]) : -slope * perStep;
    }
    row[size - 1] = force_N[i];
    used++;
    for (let a = 0, at = 0; a < size; a++, at += size) {
      const value = row[a];
      for (let b = 0; b <= a; b++) products[at + b] += value * row[b];
    }
  }
  for (let a = 0; a < size; a++) for (let b = 0; b < a; b++) products[b * size + a] = products[a * size + b];
  return { size, products, used };
}
