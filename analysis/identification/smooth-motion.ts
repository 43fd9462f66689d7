import { GrowingQuintic, type Quintic } from './local-quintic.js';
import type { SmoothedMotion } from './motion-grid.js';
import { type EdgedRest, type Onset, onsetAt } from './onsets.js';

/** Smoothed motion at nodes a fraction of a window apart, with what is known of its noise. */
export interface MotionNodes extends SmoothedMotion {
  /** Standard error of the velocity at each node. */
  readonly velocityError_m_per_s: Float64Array;
  /** Noise of a single position sample, m, quantisation included. */
  readonly sampleNoise_m: number;
}

const smallestHalfWindow = 5;
const growth = 1.4;
/** Half-width, in standard errors, of the intervals that windows must agree within. */
const agreement = 2.5;
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
  rests: readonly EdgedRest[],
  period_s: (time_s: number) => number,
): MotionNodes {
  const nodes = nodeList();
  let from = 0;
  let left: Onset | null = null;
  const moving = (to: number, next: Onset | null) => {
    if (left) pushOnset(nodes, left, left.at_s, left.until_s);
    const since_s = left?.until_s ?? Number.NEGATIVE_INFINITY;
    const until_s = next?.until_s ?? Number.POSITIVE_INFINITY;
    if (to - from > smallestHalfWindow)
      smoothSegment(
        nodes,
        time_s.subarray(from, to),
        position_m.subarray(from, to),
        sampleNoise_m,
        period_s,
        since_s,
        until_s,
      );
    if (next && next.at_s > since_s) pushOnset(nodes, next, Math.max(since_s, next.until_s), next.at_s);
  };
  for (const rest of rests) {
    let to = from;
    while (to < time_s.length && time_s[to] < rest.from_s) to++;
    moving(to, rest.arrival);
    while (to < time_s.length && time_s[to] <= rest.to_s) to++;
    from = to;
    left = rest.departure;
    const node = still(rest.position_m);
    nodes.push(rest.from_s, node);
    nodes.push(rest.to_s, node);
  }
  moving(time_s.length, null);
  return { ...nodes.columns(), sampleNoise_m };
}

type NodeList = ReturnType<typeof nodeList>;

/** Nodes in order of time, a column for each of their numbers. */
function nodeList() {
  const columns: number[][] = [[], [], [], [], []];
  const [time, position, velocity, acceleration, velocityError] = columns;
  return {
    push(time_s: number, node: Readonly<Quintic>): void {
      time.push(time_s);
      position.push(node.position_m);
      velocity.push(node.velocity_m_per_s);
      acceleration.push(node.acceleration_m_per_s2);
      velocityError.push(node.velocityError_m_per_s);
    },
    columns: () => ({
      time_s: new Float64Array(time),
      position_m: new Float64Array(position),
      velocity_m_per_s: new Float64Array(velocity),
      acceleration_m_per_s2: new Float64Array(acceleration),
      velocityError_m_per_s: new Float64Array(velocityError),
    }),
  };
}

const still = (position_m: number): Quintic => ({
  position_m,
  velocity_m_per_s: 0,
  acceleration_m_per_s2: 0,
  positionError_m: 0,
  velocityError_m_per_s: 0,
});

/** Field by field: `Object.assign` was an eighth of all smoothing. */
function copyNode(to: Quintic, from: Readonly<Quintic>): void {
  to.position_m = from.position_m;
  to.velocity_m_per_s = from.velocity_m_per_s;
  to.acceleration_m_per_s2 = from.acceleration_m_per_s2;
  to.positionError_m = from.positionError_m;
  to.velocityError_m_per_s = from.velocityError_m_per_s;
}

/** Nodes along an onset, just inside its ends, where velocity may jump. */
function pushOnset(nodes: NodeList, onset: Onset, from_s: number, to_s: number): void {
  const aside_s = 1e-3 * (to_s - from_s);
  const bend_s = onset.at_s + Math.sign(onset.until_s - onset.at_s) * onset.ramp_s;
  const times = [from_s + aside_s, bend_s - aside_s, bend_s + aside_s, to_s - aside_s];
  for (const time_s of times.filter((t) => t > from_s && t < to_s).sort((a, b) => a - b))
    nodes.push(time_s, { ...still(0), ...onsetAt(onset, time_s) });
}

/** Adds the nodes of one stretch of motion from `since_s` to `until_s`; all its samples take part. */
function smoothSegment(
  nodes: NodeList,
  time_s: Float64Array,
  position_m: Float64Array,
  noise_m: number,
  period_s: (time_s: number) => number,
  since_s: number,
  until_s: number,
): void {
  const n = time_s.length;
  const spacing_s = (time_s[n - 1] - time_s[0]) / (n - 1);
  const windows = new WindowGrower(time_s, position_m, noise_m);
  const last_s = Math.min(until_s, time_s[n - 1]);
  let at_s = Math.max(since_s, time_s[0]);
  let previous_s = at_s;
  let nearest = 0;
  let samples = 0;
  for (;;) {
    nearest = nearestTo(time_s, at_s, nearest);
    const most_s = Math.max(smallestHalfWindow * spacing_s, period_s(at_s) * longestShare);
    const window = windows.nodeAt(at_s, nearest, most_s, samples);
    const step_s = Math.max(spacing_s, window.half_s / nodesPerHalfWindow);
    samples = window.samples;
    // A long step that ends where windows are short has jumped over a sharp turn: go back and take it from there.
    if (at_s - previous_s > 2 * step_s) {
      at_s = previous_s + step_s;
      continue;
    }
    nodes.push(at_s, window.node);
    if (at_s >= last_s) return;
    previous_s = at_s;
    at_s = Math.min(last_s, at_s + step_s);
  }
}

/** The sample nearest in time, sought from an earlier one on. */
function nearestTo(time_s: Float64Array, at_s: number, from: number): number {
  let nearest = from;
  while (nearest > 0 && time_s[nearest] > at_s) nearest--;
  while (
    nearest < time_s.length - 1 &&
    Math.abs(time_s[nearest + 1] - at_s) <= Math.abs(time_s[nearest] - at_s)
  )
    nearest++;
  return nearest;
}

/** The fewest samples that a window holds. */
const smallest = 2 * smallestHalfWindow + 1;

/** Finds nodes and the windows that they come from. */
class WindowGrower {
  readonly #time_s: Float64Array;
  readonly #position_m: Float64Array;
  readonly #quintic: GrowingQuintic;
  /** The last node and its window, used again at every call. */
  readonly #window = { node: still(0), half_s: 0, samples: 0 };

  constructor(time_s: Float64Array, position_m: Float64Array, noise_m: number) {
    this.#time_s = time_s;
    this.#position_m = position_m;
    this.#quintic = new GrowingQuintic(time_s, position_m, noise_m);
  }

  /**
   * The node at an instant; a window of about `samplesBefore` at the node before saves growing up to it again.
   * @param nearest number of the sample nearest in time
   * @param most_s longest half-window
   */
  nodeAt(at_s: number, nearest: number, most_s: number, samplesBefore: number) {
    const first = Math.max(smallest, Math.round(samplesBefore / growth ** 4));
    const agreed = this.#grow(at_s, nearest, most_s, first);
    // Where the very first windows already disagree, or none fits, smaller ones have to be asked.
    if (agreed < 2 && first > smallest) this.#grow(at_s, nearest, most_s, smallest);
    return this.#window;
  }

  /** Returns how many windows agreed; where none did, nothing is known of the motion. */
  #grow(at_s: number, nearest: number, most_s: number, first: number): number {
    const time_s = this.#time_s;
    const position_m = this.#position_m;
    const quintic = this.#quintic;
    const window = this.#window;
    const n = time_s.length;
    let low = nearest;
    let high = nearest;
    let agreed = 0;
    let xLow = Number.NEGATIVE_INFINITY;
    let xHigh = Number.POSITIVE_INFINITY;
    let vLow = Number.NEGATIVE_INFINITY;
    let vHigh = Number.POSITIVE_INFINITY;
    quintic.begin(at_s, most_s, position_m[nearest]);
    for (let want = Math.min(n, first); ; want = Math.min(n, Math.ceil(want * growth))) {
      // The samples nearest in time, one-sided at the ends of the record.
      const [fromLow, fromHigh] = [low, high];
      low = Math.max(0, Math.min(n - want, low - ((want - high + low) >> 1)));
      while (low + want < n && time_s[low + want] - at_s <= at_s - time_s[low]) low++;
      while (low > 0 && at_s - time_s[low - 1] < time_s[low - 1 + want] - at_s) low--;
      high = low + want;
      quintic.add(low, fromLow);
      quintic.add(fromHigh, high);
      const half_s = Math.max(at_s - time_s[low], time_s[high - 1] - at_s);
      if (agreed > 0 && half_s > most_s) break;
      const fitted = quintic.fit();
      if (fitted) {
        const { position_m: x, velocity_m_per_s: v } = fitted;
        const xReach = agreement * fitted.positionError_m;
        const vReach = agreement * fitted.velocityError_m_per_s;
        xLow = Math.max(xLow, x - xReach);
        xHigh = Math.min(xHigh, x + xReach);
        vLow = Math.max(vLow, v - vReach);
        vHigh = Math.min(vHigh, v + vReach);
        if (agreed > 0 && (xLow > xHigh || vLow > vHigh)) break;
        copyNode(window.node, fitted);
        window.half_s = half_s;
        window.samples = want;
        agreed++;
      }
      if (want === n) break;
    }
    if (agreed === 0) {
      copyNode(window.node, still(position_m[nearest]));
      window.node.velocityError_m_per_s = Number.POSITIVE_INFINITY;
      window.half_s = most_s;
      window.samples = 0;
    }
    return agreed;
  }
}
