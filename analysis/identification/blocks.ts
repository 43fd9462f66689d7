import type { Stroke } from '../kinematics/strokes.js';
import type { MotionGrid, Span } from './motion-grid.js';

/** A stretch of the motion grid, worked through at once: small enough for the processor's nearest memory. */
export interface Block {
  /** Grid point at which the seal is taken up, and from which averaging has a past. */
  readonly from: number;
  /** Samples are read between these points, the second exclusive. */
  readonly first: number;
  readonly end: number;
  /** Instant of grid point 0, were the grid to reach back there from this block. */
  readonly start_s: number;
  /** Whether the seal's state at `from` is the recording's own start, the block before's, or long since forgotten. */
  readonly memory: 'start' | 'continues' | 'forgotten';
}

const blockLength = 2048;

/**
 * Cuts a grid into blocks.
 * @param past grid points that go before each block's own for the converter's averaging
 * @param runIn_s of each span, the time over which the seal forgets how it came there, 0 for the first
 */
export function blocksOf(grid: MotionGrid, past: number, runIn_s: readonly number[]): Block[] {
  const blocks: Block[] = [];
  const longest = Math.max(blockLength, 2 * past);
  grid.spans.forEach((span, s) => {
    const last = span.end - 1;
    const start_s = span.start_s - span.from * grid.step_s;
    let first = span.from + Math.max(past, Math.ceil(runIn_s[s] / grid.step_s));
    for (let begun = false; first < last; begun = true) {
      const end = Math.min(last, first + longest);
      blocks.push({
        from: begun ? first - past : span.from,
        first,
        end,
        start_s,
        memory: begun ? 'continues' : s === 0 ? 'start' : 'forgotten',
      });
      first = end;
    }
  });
  return blocks;
}

/** Spans of a recording, each with the time over which the seal forgets how it came there, s. */
export interface Sampled {
  readonly spans: readonly Span[];
  readonly runIn_s: readonly number[];
}

/**
 * Enough of a long recording to search on: its first cycle, then single cycles spread evenly over its strokes, each
 * after a stroke of run-in. Null where that would be most of it anyway.
 * @param strokes in time order
 * @param whole the whole recording
 * @param most_s about how much time to look at
 */
export function sampledSpans(strokes: readonly Stroke[], whole: Span, most_s: number): Sampled | null {
  const cycle_s = (2 * (whole.to_s - whole.from_s)) / Math.max(1, strokes.length);
  const wanted = Math.max(12, Math.floor(most_s / (1.5 * cycle_s)));
  const every = Math.floor(strokes.length / (2 * wanted));
  if (every < 2) return null;
  const spans: Span[] = [{ from_s: whole.from_s, to_s: strokes[1].end_s }];
  const runIn_s = [0];
  for (let k = 2 * every; k + 1 < strokes.length; k += 2 * every) {
    spans.push({ from_s: strokes[k - 1].start_s, to_s: strokes[k + 1].end_s });
    runIn_s.push(strokes[k].start_s - strokes[k - 1].start_s);
  }
  return { spans, runIn_s };
}
