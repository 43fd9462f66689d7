import { choleskyFactor, choleskyInverse } from '../numerics/linear.js';
import type { SmoothedMotion } from './motion-grid.js';
import type { Rest } from './rests.js';

/** Smoothed motion at nodes a fraction of a window apart, with what is known of its noise. */
export interface MotionNodes extends SmoothedMotion {
  /** Standard error of position and velocity at each node. */
  readonly positionError_m: Float64Array;
  readonly velocityError_m_per_s: Float64Array;
  /** Noise of a single position sample, m, quantisation included. */
  readonly sampleNoise_m: number;
}

const degree = 5;
const size = degree + 1;
const smallestHalfWindow = 5;
const growth = 1.4;
/** Half-width, in standard errors, of the intervals that windows must agree within. */
const agreement = 3;
/** Longest half-window as a share of the local stroke period. */
const longestShare = 1 / 6;
const nodesPerHalfWindow = 4;

/**
 * Position, velocity and acceleration by local quintics on true sample times. At each node the window grows until
 * the estimate leaves what smaller windows allow (intersection of confidence intervals), so that it is long on a
 * steady stroke and short at a sharp reversal. Windows never reach into a rest, where position is held constant.
 * @param time_s, position_m the position channel, increasing times, at least 2·5 + 1 samples
 * @param sampleNoise_m noise of one position sample, m
 * @param rests spans in which the shaft stands still, in time order
 * @param period_s local stroke period at a time, s; bounds the window where the data would allow any
 * @returns nodes from the first to the last sample, spaced a quarter of the local half-window
 * @see Goldenshluger & Nemirovski, Math. Methods of Statistics 6(2), 135–170, 1997 (from memory);
 *   Savitzky & Golay, Anal. Chem. 36(8), 1627–1639, 1964, for the fixed-window ancestor
 */
export function smoothMotion(
  time_s: Float64Array,
  position_m: Float64Array,
  sampleNoise_m: number,
  rests: readonly Rest[],
  period_s: (time_s: number) => number,
): MotionNodes {
  const nodes: { time_s: number; node: Node }[] = [];
  let from = 0;
  const moving = (to: number) => {
    if (to - from > smallestHalfWindow)
      smoothSegment(time_s.subarray(from, to), position_m.subarray(from, to), sampleNoise_m, period_s, nodes);
  };
  for (const rest of rests) {
    let to = from;
    while (to < time_s.length && time_s[to] < rest.from_s) to++;
    moving(to);
    while (to < time_s.length && time_s[to] <= rest.to_s) to++;
    from = to;
    const node = {
      position: rest.position_m,
      velocity: 0,
      acceleration: 0,
      positionError: 0,
      velocityError: 0,
      half_s: 0,
    };
    nodes.push({ time_s: rest.from_s, node }, { time_s: rest.to_s, node });
  }
  moving(time_s.length);
  const column = (of: (node: Node) => number) => Float64Array.from(nodes, ({ node }) => of(node));
  return {
    time_s: Float64Array.from(nodes, (entry) => entry.time_s),
    position_m: column((node) => node.position),
    velocity_m_per_s: column((node) => node.velocity),
    acceleration_m_per_s2: column((node) => node.acceleration),
    positionError_m: column((node) => node.positionError),
    velocityError_m_per_s: column((node) => node.velocityError),
    sampleNoise_m,
  };
}

function smoothSegment(
  time_s: Float64Array,
  position_m: Float64Array,
  noise: number,
  period_s: (time_s: number) => number,
  nodes: { time_s: number; node: Node }[],
): void {
  const n = time_s.length;
  const spacing_s = (time_s[n - 1] - time_s[0]) / (n - 1);
  let at = time_s[0];
  let nearest = 0;
  for (;;) {
    while (nearest < n - 1 && Math.abs(time_s[nearest + 1] - at) <= Math.abs(time_s[nearest] - at)) nearest++;
    const most_s = Math.max(smallestHalfWindow * spacing_s, period_s(at) * longestShare);
    const node = growWindow(time_s, position_m, at, nearest, most_s, noise);
    nodes.push({ time_s: at, node });
    if (at >= time_s[n - 1]) break;
    at = Math.min(time_s[n - 1], at + Math.max(spacing_s, node.half_s / nodesPerHalfWindow));
  }
}

interface Node {
  readonly position: number;
  readonly velocity: number;
  readonly acceleration: number;
  readonly positionError: number;
  readonly velocityError: number;
  readonly half_s: number;
}

function growWindow(
  time_s: Float64Array,
  position_m: Float64Array,
  at: number,
  nearest: number,
  most_s: number,
  noise: number,
): Node {
  const n = time_s.length;
  const base = position_m[nearest];
  const powers = new Float64Array(2 * degree + 1);
  const moments = new Float64Array(size);
  let low = nearest;
  let high = nearest - 1;
  let best: Node | null = null;
  const allowed = { xLow: -Infinity, xHigh: Infinity, vLow: -Infinity, vHigh: Infinity };
  for (let want = 2 * smallestHalfWindow + 1; ; want = Math.ceil(want * growth)) {
    // Take the samples nearest in time, one-sided at the ends of the recording.
    while (high - low + 1 < Math.min(want, n)) {
      const left = low > 0 ? at - time_s[low - 1] : Infinity;
      const right = high < n - 1 ? time_s[high + 1] - at : Infinity;
      const i = left < right ? --low : ++high;
      addSample(powers, moments, (time_s[i] - at) / most_s, position_m[i] - base);
    }
    const half_s = Math.max(at - time_s[low], time_s[high] - at);
    if (best && half_s > most_s) break;
    const node = fitWindow(powers, moments, most_s, half_s, base, noise);
    if (!node) {
      if (high - low + 1 >= n) break;
      continue;
    }
    allowed.xLow = Math.max(allowed.xLow, node.position - agreement * node.positionError);
    allowed.xHigh = Math.min(allowed.xHigh, node.position + agreement * node.positionError);
    allowed.vLow = Math.max(allowed.vLow, node.velocity - agreement * node.velocityError);
    allowed.vHigh = Math.min(allowed.vHigh, node.velocity + agreement * node.velocityError);
    if (best && (allowed.xLow > allowed.xHigh || allowed.vLow > allowed.vHigh)) break;
    best = node;
    if (high - low + 1 >= n) break;
  }
  return (
    best ?? {
      position: base,
      velocity: 0,
      acceleration: 0,
      positionError: noise,
      velocityError: Infinity,
      half_s: most_s,
    }
  );
}

function addSample(powers: Float64Array, moments: Float64Array, s: number, value: number): void {
  let power = 1;
  for (let j = 0; j < size; j++) {
    powers[j] += power;
    moments[j] += power * value;
    power *= s;
  }
  for (let j = size; j <= 2 * degree; j++) {
    powers[j] += power;
    power *= s;
  }
}

function fitWindow(
  powers: Float64Array,
  moments: Float64Array,
  unit_s: number,
  half_s: number,
  base: number,
  noise: number,
): Node | null {
  // Moments were summed in units of the longest window; the fit wants units of this one.
  const ratio = unit_s / half_s;
  const normal = new Float64Array(size * size);
  for (let a = 0; a < size; a++)
    for (let b = 0; b < size; b++) normal[a * size + b] = powers[a + b] * ratio ** (a + b);
  const factor = choleskyFactor(normal, size);
  if (!factor) return null;
  const inverse = choleskyInverse(factor, size);
  const coefficient = (row: number) => {
    let sum = 0;
    for (let b = 0; b < size; b++) sum += inverse[row * size + b] * moments[b] * ratio ** b;
    return sum;
  };
  return {
    position: base + coefficient(0),
    velocity: coefficient(1) / half_s,
    acceleration: (2 * coefficient(2)) / (half_s * half_s),
    positionError: noise * Math.sqrt(inverse[0]),
    velocityError: (noise * Math.sqrt(inverse[size + 1])) / half_s,
    half_s,
  };
}

/**
 * Noise of one position sample from fourth differences over neighbouring samples, with the quantisation step's
 * share as a floor (a slow, coarsely quantised signal has long runs of equal values and differences of zero).
 */
export function sampleNoise(time_s: Float64Array, position_m: Float64Array): number {
  const n = position_m.length;
  const squares: number[] = [];
  let step = Infinity;
  for (let i = 1; i < n; i++) {
    const d = Math.abs(position_m[i] - position_m[i - 1]);
    if (d > 0 && d < step) step = d;
  }
  const stride = Math.max(1, Math.floor(n / 20000));
  for (let i = 4; i < n; i += stride) {
    if (time_s[i] - time_s[i - 4] > 6 * (time_s[i] - time_s[i - 1])) continue;
    const d =
      position_m[i] -
      4 * position_m[i - 1] +
      6 * position_m[i - 2] -
      4 * position_m[i - 3] +
      position_m[i - 4];
    squares.push((d * d) / 70);
  }
  squares.sort((a, b) => a - b);
  // The lower half of the differences is motion-free on any stroke; its mean square is 0.143 of a normal's whole.
  const kept = squares.slice(0, Math.max(1, squares.length >> 1));
  const lowerHalf = kept.reduce((a, b) => a + b, 0) / kept.length / 0.1426;
  const smallStep = Number.isFinite(step) && step > 1e-8 ? step : 0;
  return Math.max(Math.sqrt(lowerHalf), smallStep / Math.sqrt(12), 1e-9);
}
