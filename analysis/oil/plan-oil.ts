import type { ForceCurve } from '../curves/force-curve.js';
import { estimateOf } from '../estimate.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import { judgeTarget, type TargetJudgement } from '../target/judge.js';
import { everywhere, type Tolerance } from '../target/tolerance.js';
import type { Blend } from './blend.js';
import type { Oil } from './oil.js';
import { changeOfOil, nearestBlend, type RankedOil, rankedOil, rankOils } from './rank-oils.js';
import { broughtTo, inOtherOil } from './similarity.js';
import { type RatioRefusal, type ViscosityRatio, viscosityRatio } from './viscosity-ratio.js';
import { viscousShare } from './viscous-share.js';

/** An oil of the shelf and what the piston would do in it. */
export interface OilChoice extends RankedOil {
  readonly predicted: ForceCurve;
  /** Against the wanted curve; null where they share no speed. */
  readonly judgement: TargetJudgement | null;
}

export type OilAdvice =
  | 'keep-oil'
  | 'shelf-oil'
  | 'blend'
  /** Even the thinnest oil on the shelf damps too much: larger holes are the way. */
  | 'drill'
  /** Even the thickest oil on the shelf damps too little. */
  | 'thicker-oil-needed'
  /** The present oil's viscosity is not known, so that the shelf cannot be put in order. */
  | 'present-oil-unknown'
  | 'shelf-empty';

export interface OilPlan extends ViscosityRatio {
  readonly advice: OilAdvice;
  /** m²/s at 25 °C; null where the present oil is not known. */
  readonly wantedViscosity25_m2_per_s: Estimate | null;
  /** Nearest first. */
  readonly shelf: readonly OilChoice[];
  /** Two oils of the shelf that together make the wanted viscosity. */
  readonly blend: (OilChoice & { readonly blend: Blend }) | null;
  /** What would remain different with an oil of exactly the wanted viscosity. */
  readonly remaining: TargetJudgement | null;
  /**
   * Share of damping that follows the viscosity at the fastest wanted speed with the wanted oil; what is left follows
   * density and holes only. Below one half oil is a weak lever.
   */
  readonly viscousShare: number;
}

export type OilPlanOutcome =
  | { readonly ok: true; readonly plan: OilPlan }
  | { readonly ok: false; readonly refusal: RatioRefusal | Refusal<'not-damping'> };

export interface OilPlanOptions {
  /** Oil that was in the shock for the curve at hand. */
  readonly present?: Oil | null;
  readonly shelf?: readonly Oil[];
  /** How near is near enough; 5 % everywhere where nothing is said. */
  readonly tolerances?: readonly Tolerance[];
}

/**
 * The oil that gives a piston a wanted damping curve.
 * @param have damping of the piston in the present oil
 * @param want damping to reach
 * @returns viscosity ratio, the shelf in order of nearness with predicted curves, a blend, and what oil cannot change
 */
export function planOil(have: ForceCurve, want: ForceCurve, options: OilPlanOptions = {}): OilPlanOutcome {
  const { present = null, shelf = [], tolerances = everywhere(5) } = options;
  if (have.kind !== 'damping' || want.kind !== 'damping')
    return {
      ok: false,
      refusal: {
        code: 'not-damping',
        found: 'a total force',
        wanted: 'damping alone: oil does not change drag',
      },
    };
  const outcome = viscosityRatio(have, want, { oil: present });
  if (!outcome.ok) return outcome;
  const { ratio } = outcome.found;
  const start = broughtTo(have, want.temperature_degC, present);
  // Thinner oil reaches the wanted speeds only by leading the curve on; the speeds judged so are marked.
  const judge = (predicted: ForceCurve) => {
    const judged = judgeTarget(predicted, want, tolerances, { beyond: Number.POSITIVE_INFINITY });
    return judged.ok ? judged.judgement : null;
  };
  const choice = (ranked: RankedOil, from: Oil): OilChoice => {
    const predicted = inOtherOil(start, changeOfOil(from, ranked.oil));
    return { ...ranked, predicted, judgement: judge(predicted) };
  };
  const wanted = present && ratio.value * present.viscosity25_m2_per_s;
  const choices = present ? rankOils(shelf, present, ratio).map((ranked) => choice(ranked, present)) : [];
  const mixed = wanted ? nearestBlend(shelf, wanted) : null;
  const blend =
    present && mixed ? { ...choice(rankedOil(mixed.oil, present, ratio), present), blend: mixed } : null;
  const ideal = inOtherOil(start, { viscosityRatio: ratio.value, densityRatio: 1 });
  return {
    ok: true,
    plan: {
      ...outcome.found,
      advice: adviceFor(ratio, present, choices, blend, judge(start)),
      wantedViscosity25_m2_per_s:
        present && wanted
          ? estimateOf(wanted, wanted * Math.hypot(present.uncertainty, ratio.standardError / ratio.value))
          : null,
      shelf: choices,
      blend,
      remaining: judge(ideal),
      viscousShare: viscousShare(ideal, want),
    },
  };
}

function adviceFor(
  ratio: Estimate,
  present: Oil | null,
  choices: readonly OilChoice[],
  blend: OilChoice | null,
  asItIs: TargetJudgement | null,
): OilAdvice {
  if (asItIs?.verdict === 'within' || (asItIs && ratio.low95 < 1 && ratio.high95 > 1 && near(asItIs)))
    return 'keep-oil';
  if (!present) return 'present-oil-unknown';
  const [nearest] = choices;
  if (!nearest) return 'shelf-empty';
  if (nearest.judgement && near(nearest.judgement)) return 'shelf-oil';
  if (blend) return 'blend';
  return nearest.viscosityOverWanted.value > 1 ? 'drill' : 'thicker-oil-needed';
}

/** Every speed's deviation itself is inside what is allowed, whatever its interval. */
export const near = (judgement: TargetJudgement): boolean =>
  judgement.speeds.every(({ deviation_N, allowed_N }) => Math.abs(deviation_N.value) <= allowed_N);
