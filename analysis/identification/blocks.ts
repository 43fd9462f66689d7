import type { Stroke } from '../kinematics/strokes.js';
import type { MotionGrid } from './motion-grid.js';

/** A stretch of the motion grid, worked through at once: small enough for the processor's nearest memory. */
export interface Block {
  /** Grid point at which the seal is taken up, and from which averaging has a past. */
  readonly from: number;
  /** Samples are read between these points, the second exclusive. */
  readonly first: number;
  readonly end: number;
  /** Whether the seal's state at `from` is the recording's own start, the block before's, or long since forgotten. */
  readonly memory: 'start' | 'continues' | 'forgotten';
}

const blockLength = 2048;

/** The whole grid in consecutive blocks; `past` grid points go before each for the converter's averaging. */
export function consecutiveBlocks(length: number, past: number): Block[] {
  const blocks: Block[] = [];
  const longest = Math.max(blockLength, 2 * past);
  for (let first = 0; first < length - 1; first += longest)
    blocks.push({
      from: Math.max(0, first - past),
      first,
      end: Math.min(length - 1, first + longest),
      memory: first === 0 ? 'start' : 'continues',
    });
  return blocks;
}

/**
 * Enough of a long grid to search on: the recording's first cycle, then single cycles spread evenly over its strokes,
 * each after a stroke of run-in, over which the seal forgets how it came there.
 * @param strokes in time order
 * @param most about how many grid points may be read
 */
export function sampledBlocks(
  grid: MotionGrid,
  strokes: readonly Stroke[],
  past: number,
  most: number,
): Block[] {
  const length = grid.position_m.length;
  const perCycle = (2 * length) / Math.max(1, strokes.length);
  const wanted = Math.max(12, Math.floor(most / (1.5 * perCycle)));
  const every = Math.floor(strokes.length / (2 * wanted));
  if (length <= most || every < 2) return consecutiveBlocks(length, past);
  const pointAt = (time_s: number) =>
    Math.max(0, Math.min(length - 1, Math.round((time_s - grid.start_s) / grid.step_s)));
  const blocks: Block[] = [];
  for (let k = 0; k + 1 < strokes.length; k += 2 * every) {
    const first = k === 0 ? 0 : pointAt(strokes[k].start_s);
    const from = k === 0 ? 0 : Math.min(first - past, pointAt(strokes[k - 1].start_s));
    const end = pointAt(strokes[k + 1].end_s);
    if (from >= 0 && end > first) blocks.push({ from, first, end, memory: k === 0 ? 'start' : 'forgotten' });
  }
  return blocks;
}
