import {
  type ComparedTotals,
  type Direction,
  type Estimate,
  estimateOf,
  nearestBlend,
  type Oil,
  type OilAdvice,
  type OilChoice,
  planOil,
  type RatioRefusal,
  type RecordingAnalysis,
  type Refusal,
  type RestoreRefusal,
  rankedOil,
  rankOils,
  restoreTotal,
  type TargetJudgement,
  type Tolerance,
  totalsCompared,
} from '../../analysis/index.js';
import {
  type BuildRefusal,
  type MeasuredBuild,
  measuredBuild,
  type Target,
  targetCurve,
} from './measured-build.js';
import { type OilDocument, oilDocument } from './shelf-oils.js';

export interface OilQuestion {
  /** The build as it is, one analysis a remount. */
  readonly have: readonly RecordingAnalysis[];
  readonly want: Target;
  /** Oil in the build now, or null where nobody knows. */
  readonly present: Oil | null;
  readonly shelf: readonly Oil[];
  readonly tolerances: readonly Tolerance[];
  /** Bring back the former total force, drag included, over a range of shaft speeds; otherwise damping alone. */
  readonly restore?: { readonly from_m_per_s?: number; readonly to_m_per_s?: number } | null;
}

/** An oil of the shelf held against the wanted viscosity. */
export interface ShelfOilDocument extends OilDocument {
  /** Null where the present oil is not known, so that nobody can say. */
  readonly viscosityOverWanted: Estimate | null;
  readonly verdict: TargetJudgement['verdict'] | null;
  readonly worst: TargetJudgement['worst'] | null;
  /** True where a judged speed lies beyond the measured ones, scaled. */
  readonly extrapolated: boolean;
}

export interface OilAnswer {
  /** Wanted over present, at 25 °C. */
  readonly viscosityRatio: Estimate;
  readonly restores: 'damping' | 'total';
  readonly advice: OilAdvice;
  readonly present: OilDocument | null;
  readonly wantedViscosity_cSt: Estimate | null;
  /** Nearest first; in the order of the shelf where the present oil is not known. */
  readonly shelf: readonly ShelfOilDocument[];
  readonly blend:
    | (ShelfOilDocument & { readonly thin: string; readonly thick: string; readonly thickShare: number })
    | null;
  /** Damping against the target with an oil of exactly the wanted viscosity; null for a total force. */
  readonly remaining: TargetJudgement | null;
  /** Damping and drag together against the former build, with such an oil; null where a drag is not known. */
  readonly total: ComparedTotals | null;
  /** Share of the damping that goes with viscosity at the fastest wanted speed; null for a total force. */
  readonly viscousShare: number | null;
  /** Relative, root mean square: what the best ratio leaves; null for a total force. */
  readonly misfit: number | null;
  /** What would be wanted if this oil of the shelf were in the build; for an unknown present oil. */
  readonly ifPresent: readonly {
    readonly present: string;
    readonly wantedViscosity_cSt: number;
    readonly nearest: string;
  }[];
  readonly remounts: { readonly have: number; readonly want: number | null };
  readonly temperature_degC: { readonly have: number | null; readonly want: number | null };
  readonly temperatureAssumed: boolean;
  readonly extrapolated: boolean;
  /** Directions whose curve bends as no flow through holes does, and which were not used; none for a total force. */
  readonly leftOut: readonly Direction[];
}

export type OilQuestionRefusal =
  | BuildRefusal
  | RatioRefusal
  | RestoreRefusal
  | Refusal<'not-damping' | 'no-former-build'>;
export type OilOutcomeDocument =
  | { readonly ok: true; readonly answer: OilAnswer }
  | { readonly ok: false; readonly side: 'have' | 'want' | 'both'; readonly refusal: OilQuestionRefusal };

const noFormerBuild: OilOutcomeDocument = {
  ok: false,
  side: 'want',
  refusal: {
    code: 'no-former-build',
    found: 'a written curve',
    wanted: 'recordings of the former build, since its drag and its damping are both needed',
  },
};

/** The oil that gives a build a wanted damping, or its former total force back; see `planOil` and `restoreTotal`. */
export function oilAnswer(question: OilQuestion): OilOutcomeDocument {
  const { present, want } = question;
  const have = measuredBuild(question.have, { oil: present });
  if (!have.ok) return { ok: false, side: 'have', refusal: have.refusal };
  if (want.kind === 'curve') return question.restore ? noFormerBuild : damping(question, have.build, null);
  const former = measuredBuild(want.analyses);
  if (!former.ok) return { ok: false, side: 'want', refusal: former.refusal };
  return question.restore
    ? restoring(question, have.build, former.build)
    : damping(question, have.build, former.build);
}

function damping(
  question: OilQuestion,
  have: MeasuredBuild,
  former: MeasuredBuild | null,
): OilOutcomeDocument {
  const { want, present, shelf, tolerances } = question;
  const wanted = targetCurve(want, 'damping');
  if (!wanted.ok) return { ok: false, side: 'want', refusal: wanted.refusal };
  const outcome = planOil(have.damping, wanted.curve, { present, shelf, tolerances });
  if (!outcome.ok) return { ok: false, side: 'both', refusal: outcome.refusal };
  const { plan } = outcome;
  const { blend } = plan;
  return {
    ok: true,
    answer: {
      ...common(question, plan.ratio),
      restores: 'damping',
      advice: plan.advice,
      wantedViscosity_cSt: plan.wantedViscosity25_m2_per_s && inCSt(plan.wantedViscosity25_m2_per_s),
      shelf: present ? plan.shelf.map(choiceDocument) : shelf.map(unrankedDocument),
      blend: blend && {
        ...choiceDocument(blend),
        thin: blend.blend.thin.label,
        thick: blend.blend.thick.label,
        thickShare: blend.blend.thickShare,
      },
      remaining: plan.remaining,
      total: former && totalsCompared(former, have, plan.ratio.value, { present, tolerances }),
      viscousShare: plan.viscousShare,
      misfit: plan.misfit,
      temperature_degC: { have: have.damping.temperature_degC, want: wanted.curve.temperature_degC },
      temperatureAssumed: plan.temperatureAssumed,
      extrapolated: plan.extrapolated,
      leftOut: plan.leftOut,
    },
  };
}

function restoring(question: OilQuestion, have: MeasuredBuild, former: MeasuredBuild): OilOutcomeDocument {
  const { present, shelf, tolerances } = question;
  const options = { ...question.restore, present, tolerances };
  const outcome = restoreTotal(former, have, options);
  if (!outcome.ok) return { ok: false, side: 'both', refusal: outcome.refusal };
  const { viscosityRatio, wantedViscosity25_m2_per_s, ...total } = outcome.restored;
  const isRestored = (ratio: number) =>
    totalsCompared(former, have, ratio, options)!.speeds.every(({ asked, restored }) => !asked || restored);
  const ranked = present ? rankOils(shelf, present, viscosityRatio) : [];
  const ratioOf = (over: Estimate) => over.value * viscosityRatio.value;
  const mixed = wantedViscosity25_m2_per_s && nearestBlend(shelf, wantedViscosity25_m2_per_s.value);
  const nearest = ranked[0];
  const advice: OilAdvice = isRestored(1)
    ? 'keep-oil'
    : !present
      ? 'present-oil-unknown'
      : !nearest
        ? 'shelf-empty'
        : isRestored(ratioOf(nearest.viscosityOverWanted))
          ? 'shelf-oil'
          : mixed
            ? 'blend'
            : nearest.viscosityOverWanted.value > 1
              ? 'drill'
              : 'thicker-oil-needed';
  const rankedDocument = ({ oil, viscosityOverWanted }: (typeof ranked)[number]): ShelfOilDocument => ({
    ...unrankedDocument(oil),
    viscosityOverWanted,
  });
  return {
    ok: true,
    answer: {
      ...common(question, viscosityRatio),
      restores: 'total',
      advice,
      wantedViscosity_cSt: wantedViscosity25_m2_per_s && inCSt(wantedViscosity25_m2_per_s),
      shelf: present ? ranked.map(rankedDocument) : shelf.map(unrankedDocument),
      blend:
        present && mixed
          ? {
              ...rankedDocument(rankedOil(mixed.oil, present, viscosityRatio)),
              thin: mixed.thin.label,
              thick: mixed.thick.label,
              thickShare: mixed.thickShare,
            }
          : null,
      remaining: null,
      total,
      viscousShare: null,
      misfit: null,
      temperature_degC: { have: have.damping.temperature_degC, want: former.damping.temperature_degC },
      temperatureAssumed: have.damping.temperature_degC === null || former.damping.temperature_degC === null,
      extrapolated: total.extrapolated,
      leftOut: [],
    },
  };
}

function common({ have, want, present, shelf }: OilQuestion, ratio: Estimate) {
  return {
    viscosityRatio: ratio,
    present: present && oilDocument(present),
    remounts: { have: have.length, want: want.kind === 'recordings' ? want.analyses.length : null },
    ifPresent: present
      ? []
      : shelf.map((assumed) => ({
          present: assumed.label,
          wantedViscosity_cSt: assumed.viscosity25_m2_per_s * ratio.value * 1e6,
          nearest: rankOils(shelf, assumed, ratio)[0]!.oil.label,
        })),
  };
}

const choiceDocument = ({ oil, viscosityOverWanted, judgement }: OilChoice): ShelfOilDocument => ({
  ...oilDocument(oil),
  viscosityOverWanted,
  verdict: judgement?.verdict ?? null,
  worst: judgement?.worst ?? null,
  extrapolated: judgement?.extrapolated ?? false,
});

const unrankedDocument = (oil: Oil): ShelfOilDocument => ({
  ...oilDocument(oil),
  viscosityOverWanted: null,
  verdict: null,
  worst: null,
  extrapolated: false,
});

const inCSt = ({ value, standardError }: Estimate): Estimate => estimateOf(value * 1e6, standardError * 1e6);
