import {
  type AnalysisOutcome,
  type AnalysisRefusal,
  curveReader,
  type Direction,
  dampingCurve,
  type Estimate,
  estimateOf,
  fastestOf,
  type RecordingAnalysis,
  readBeyond,
} from '../../analysis/index.js';

/** Shaft speed at which damping is followed while it records, as it is quoted afterwards. */
export const followedSpeed_m_per_s = 0.1;

export type FollowedQuantity = 'friction_N' | 'damping.compression@0.10' | 'damping.rebound@0.10';

/** Why a quantity is not known yet. */
export type NotYet = 'too-few-cycles' | 'one-speed' | 'too-slow' | 'no-drag';

export interface FollowedEstimate {
  readonly quantity: FollowedQuantity;
  /** Damping as a magnitude, at the recording's temperature; null while it is not known. */
  readonly estimate: Estimate | null;
  /** Null where it is known. */
  readonly notYet: NotYet | null;
  /** Fastest the shaft has been in that direction, m/s; null where it does not matter or is not known. */
  readonly fastest_m_per_s: number | null;
}

/** What a recording says so far. */
export interface LiveEstimate {
  readonly recordingId: number;
  /** Device time that had been recorded when this was begun, s. */
  readonly until_s: number;
  readonly isLast: boolean;
  readonly cycles: number;
  /** Cycles below which nothing is said, where they are not reached. */
  readonly cyclesWanted: number | null;
  /** Why it cannot be analysed yet; null where it can. */
  readonly refusal: AnalysisRefusal | null;
  readonly quantities: readonly FollowedEstimate[];
}

/** An analysis as far as this needs it. */
type Analysed =
  | { readonly ok: true; readonly analysis: RecordingAnalysis }
  | Extract<AnalysisOutcome, { ok: false }>;

/**
 * What is known of a recording under way, out of the analysis of all its samples so far.
 * @returns estimates as `analyze` gives them, or why they are not known yet: with too few cycles an interval does not
 *   know how one cycle differs from the next, and is not shown
 * Numerical notes: damping is read off the curve as in a comparison, with the curve's degrees of freedom. Ending a
 *   recording once an interval is narrow, not once it excludes something, leaves its coverage as good as intact
 *   (fixed-width intervals: Y. S. Chow and H. Robbins, *Ann. Math. Statist.* 36 (1965) 457; from memory).
 */
export function liveEstimate(
  outcome: Analysed,
  about: Pick<LiveEstimate, 'recordingId' | 'until_s' | 'isLast'>,
): LiveEstimate {
  if (!outcome.ok)
    return { ...about, cycles: 0, cyclesWanted: null, refusal: outcome.refusal, quantities: [] };
  const { analysis } = outcome;
  const wanted = analysis.findings.find(({ code }) => code === 'too-few-cycles')?.values.wanted;
  const cyclesWanted = typeof wanted === 'number' ? wanted : null;
  const known = [dragOf(analysis), dampingOf(analysis, 'compression'), dampingOf(analysis, 'rebound')];
  return {
    ...about,
    cycles: analysis.cycles,
    cyclesWanted,
    refusal: null,
    quantities: known.map((quantity) =>
      cyclesWanted === null ? quantity : { ...quantity, estimate: null, notYet: 'too-few-cycles' },
    ),
  };
}

function dragOf({ friction: { mean_N } }: RecordingAnalysis): FollowedEstimate {
  return {
    quantity: 'friction_N',
    estimate: mean_N,
    notYet: mean_N ? null : 'no-drag',
    fastest_m_per_s: null,
  };
}

function dampingOf(analysis: RecordingAnalysis, direction: Direction): FollowedEstimate {
  const quantity = `damping.${direction}@0.10` as const;
  const curve = dampingCurve(analysis);
  if (!curve) return { quantity, estimate: null, notYet: 'one-speed', fastest_m_per_s: null };
  const fastest_m_per_s = fastestOf(curve, direction);
  if (readBeyond * fastest_m_per_s < followedSpeed_m_per_s)
    return { quantity, estimate: null, notYet: 'too-slow', fastest_m_per_s };
  const sign = direction === 'compression' ? 1 : -1;
  const { force_N, standardError_N } = curveReader(curve)(sign * followedSpeed_m_per_s)!;
  const estimate = estimateOf(Math.abs(force_N), standardError_N, curve.degreesOfFreedom);
  return { quantity, estimate, notYet: null, fastest_m_per_s };
}
