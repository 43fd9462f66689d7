import type { Block } from './blocks.js';
import type { Columns, Features, StrokeSpan, TermName } from './columns.js';
import type { MotionGrid } from './motion-grid.js';
import type { SealShape } from './seal-memory.js';

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
  /** 1 where a sample counts, 0 where it is left out (saturated, motion unknown). */
  readonly counts: Uint8Array;
  readonly grid: MotionGrid;
  readonly span: StrokeSpan;
  readonly features: Features;
  /** Stretches of the grid that are read, in time order: all of it, or enough of it to search on. */
  readonly blocks: readonly Block[];
  /** Motion columns of those blocks, as far as any problem on them has made them; null where none are kept. */
  readonly kept: readonly Columns[] | null;
  /** Grid steps in one conversion, and how many running means of that width the converter takes. */
  readonly width: number;
  readonly averagings: number;
  readonly terms: readonly TermName[];
  readonly shapes: readonly ShapeName[];
}

/** A sample's place on a block's grid, in grid steps, is its time over the step plus this. */
export const gridShift = (
  { grid, averagings }: Pick<FitProblem, 'grid' | 'averagings'>,
  { start_s }: Block,
  lag_s: number,
): number => -(start_s + lag_s) / grid.step_s - averagings / 2;

/*
 * Machine code that was made for one layout of an object is thrown away when it meets another, and spreads make many.
 * What the loops over samples read is copied here first.
 */

export const uniformShape = (shape: Shape): Shape => ({
  presliding_m: shape.presliding_m,
  breakawayExcess: shape.breakawayExcess,
  stribeckSpeed_m_per_s: shape.stribeckSpeed_m_per_s,
  startState: shape.startState,
  lag_s: shape.lag_s,
  deadStroke_m: shape.deadStroke_m,
  airPower: shape.airPower,
  stop_m: shape.stop_m,
});

export const uniformProblem = (problem: FitProblem): FitProblem => ({
  time_s: problem.time_s,
  force_N: problem.force_N,
  counts: problem.counts,
  grid: problem.grid,
  span: problem.span,
  features: {
    travel_m: problem.features.travel_m,
    atCeiling: problem.features.atCeiling,
    stopSide: problem.features.stopSide,
  },
  blocks: problem.blocks,
  kept: problem.kept,
  width: problem.width,
  averagings: problem.averagings,
  terms: problem.terms,
  shapes: problem.shapes,
});
