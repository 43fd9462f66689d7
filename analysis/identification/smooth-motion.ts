import { growingQuintic, type Quintic } from './local-quintic.js';
import type { SmoothedMotion } from './motion-grid.js';
import { type EdgedRest, type Onset, onsetAt } from './onsets.js';

/** Smoothed motion at nodes a fraction of a window apart, with what is known of its noise. */
export interface MotionNodes extends SmoothedMotion {
  /** Standard error of position and velocity at each node. */
  readonly positionError_m: Float64Array;
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
  const nodes: TimedNode[] = [];
  let from = 0;
  let left: Onset | null = null;
  const moving = (to: number, next: Onset | null) => {
    if (left) pushOnset(nodes, left, left.at_s, left.until_s);
    const since_s = left?.until_s ?? Number.NEGATIVE_INFINITY;
    const until_s = next?.until_s ?? Number.POSITIVE_INFINITY;
    if (to - from > smallestHalfWindow)
      for (const node of smoothSegment(
        time_s.subarray(from, to),
        position_m.subarray(from, to),
        sampleNoise_m,
        period_s,
        since_s,
        until_s,
      ))
        nodes.push(node);
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
    nodes.push({ time_s: rest.from_s, node }, { time_s: rest.to_s, node });
  }
  moving(time_s.length, null);
  const column = (of: (node: Node) => number) => Float64Array.from(nodes, ({ node }) => of(node));
  return {
    time_s: Float64Array.from(nodes, (entry) => entry.time_s),
    position_m: column((node) => node.position_m),
    velocity_m_per_s: column((node) => node.velocity_m_per_s),
    acceleration_m_per_s2: column((node) => node.acceleration_m_per_s2),
    positionError_m: column((node) => node.positionError_m),
    velocityError_m_per_s: column((node) => node.velocityError_m_per_s),
    sampleNoise_m,
  };
}

interface Node extends Quintic {
  readonly half_s: number;
}

interface TimedNode {
  readonly time_s: number;
  readonly node: Node;
}

const still = (position_m: number): Node => ({
  position_m,
  velocity_m_per_s: 0,
  acceleration_m_per_s2: 0,
  positionError_m: 0,
  velocityError_m_per_s: 0,
  half_s: 0,
});

/** Nodes along an onset, just inside its ends, where velocity may jump. */
function pushOnset(nodes: TimedNode[], onset: Onset, from_s: number, to_s: number): void {
  const aside_s = 1e-3 * (to_s - from_s);
  const bend_s = onset.at_s + Math.sign(onset.until_s - onset.at_s) * onset.ramp_s;
  const times = [from_s + aside_s, bend_s - aside_s, bend_s + aside_s, to_s - aside_s];
  for (const time_s of times.filter((t) => t > from_s && t < to_s).sort((a, b) => a - b))
    nodes.push({ time_s, node: { ...still(0), ...onsetAt(onset, time_s) } });
}

/** Nodes of one stretch of motion from `since_s` to `until_s`; all its samples take part. */
function smoothSegment(
  time_s: Float64Array,
  position_m: Float64Array,
  noise_m: number,
  period_s: (time_s: number) => number,
  since_s: number,
  until_s: number,
): TimedNode[] {
  const nodes: TimedNode[] = [];
  const n = time_s.length;
  const spacing_s = (time_s[n - 1] - time_s[0]) / (n - 1);
  const nodeAt = windowGrower(time_s, position_m, noise_m);
  const stepOf = (node: Node) => Math.max(spacing_s, node.half_s / nodesPerHalfWindow);
  const last_s = Math.min(until_s, time_s[n - 1]);
  let at_s = Math.max(since_s, time_s[0]);
  let previous_s = at_s;
  let nearest = 0;
  let samples = 0;
  for (;;) {
    while (nearest > 0 && time_s[nearest] > at_s) nearest--;
    while (nearest < n - 1 && Math.abs(time_s[nearest + 1] - at_s) <= Math.abs(time_s[nearest] - at_s))
      nearest++;
    const most_s = Math.max(smallestHalfWindow * spacing_s, period_s(at_s) * longestShare);
    const { node, count } = nodeAt(at_s, nearest, most_s, samples);
    samples = count;
    // A long step that ends where windows are short has jumped over a sharp turn: go back and take it from there.
    if (at_s - previous_s > 2 * stepOf(node)) {
      at_s = previous_s + stepOf(node);
      continue;
    }
    nodes.push({ time_s: at_s, node });
    if (at_s >= last_s) return nodes;
    previous_s = at_s;
    at_s = Math.min(last_s, at_s + stepOf(node));
  }
}

/** Finds the node at an instant; a window of about `samplesBefore` at the node before saves growing up to it again. */
function windowGrower(time_s: Float64Array, position_m: Float64Array, noise_m: number) {
  const n = time_s.length;
  const quintic = growingQuintic(time_s, position_m, noise_m);
  const smallest = 2 * smallestHalfWindow + 1;

  return function nodeAt(at_s: number, nearest: number, most_s: number, samplesBefore: number) {
    const first = Math.max(smallest, Math.round(samplesBefore / growth ** 4));
    const grown = grow(at_s, nearest, most_s, first);
    // Where the very first windows already disagree, or none fits, smaller ones have to be asked.
    return grown.steps >= 2 || first === smallest ? grown : grow(at_s, nearest, most_s, smallest);
  };

  function grow(at_s: number, nearest: number, most_s: number, first: number) {
    let low = nearest;
    let high = nearest;
    let best: Node | null = null;
    let count = 0;
    let steps = 0;
    let [xLow, xHigh, vLow, vHigh] = [-Infinity, Infinity, -Infinity, Infinity];
    quintic.begin(at_s, most_s, position_m[nearest]);
    for (let want = first; ; want = Math.ceil(want * growth)) {
      // Take the samples nearest in time, one-sided at the ends of the record.
      const [fromLow, fromHigh] = [low, high];
      while (high - low < Math.min(want, n)) {
        const left = low > 0 ? at_s - time_s[low - 1] : Infinity;
        const right = high < n ? time_s[high] - at_s : Infinity;
        if (left < right) low--;
        else high++;
      }
      quintic.add(low, fromLow);
      quintic.add(fromHigh, high);
      const half_s = Math.max(at_s - time_s[low], time_s[high - 1] - at_s);
      if (best && half_s > most_s) break;
      const fitted = quintic.fit();
      if (fitted) {
        const { position_m: x, velocity_m_per_s: v } = fitted;
        const [xReach, vReach] = [
          agreement * fitted.positionError_m,
          agreement * fitted.velocityError_m_per_s,
        ];
        xLow = Math.max(xLow, x - xReach);
        xHigh = Math.min(xHigh, x + xReach);
        vLow = Math.max(vLow, v - vReach);
        vHigh = Math.min(vHigh, v + vReach);
        if (best && (xLow > xHigh || vLow > vHigh)) break;
        best = { ...fitted, half_s };
        count = high - low;
        steps++;
      }
      if (high - low >= n) break;
    }
    return { node: best ?? unknown(position_m[nearest], noise_m, most_s), count, steps };
  }
}

const unknown = (position_m: number, noise_m: number, half_s: number): Node => ({
  position_m,
  velocity_m_per_s: 0,
  acceleration_m_per_s2: 0,
  positionError_m: noise_m,
  velocityError_m_per_s: Infinity,
  half_s,
});
