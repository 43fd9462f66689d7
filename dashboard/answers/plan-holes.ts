import {
  type Beyond,
  type CurvePoint,
  type Direction,
  type DrillSet,
  type DrillStep,
  type Estimate,
  estimateOf,
  type HoleAdvice,
  type HoleChange,
  type HoleRefusal,
  makeOil,
  type Oil,
  type OilAdvice,
  type OilRefusal,
  type Piston,
  planHoles,
  type RecordingAnalysis,
  type TargetJudgement,
  type Tolerance,
} from '../../analysis/index.js';
import { type BuildRefusal, measuredBuild, type Target, targetCurve } from './measured-build.js';
import { type OilDocument, oilDocument } from './shelf-oils.js';

/** A piston as files describe it. */
export interface PistonEntry {
  readonly name?: string | undefined;
  readonly bore_mm: number;
  readonly rod_mm: number;
  readonly holes: number;
  readonly hole_mm: number;
  readonly thickness_mm: number;
  readonly more_holes?: readonly { readonly holes: number; readonly hole_mm: number }[] | undefined;
  readonly gap_mm?: number | undefined;
  readonly countersunk_mm?: number | undefined;
  /** At 25 °C. */
  readonly oil_cSt?: number | undefined;
  readonly oil_density_kg_per_m3?: number | undefined;
}

export interface HoleQuestion {
  /** The blank, one analysis a remount. */
  readonly have: readonly RecordingAnalysis[];
  readonly want: Target;
  readonly piston: PistonEntry;
  /** Oil in the blank when it was measured; the piston's own where nothing is said, null where nobody knows. */
  readonly present?: Oil | null;
  /** Oil to be used with the new holes; the present one where nothing is said. */
  readonly chosen?: Oil | null;
  readonly change?: HoleChange;
  readonly sets?: readonly DrillSet[];
  readonly ownedDrills_mm?: readonly number[];
  readonly shelf?: readonly Oil[];
  readonly tolerances?: readonly Tolerance[];
}

export interface DrillDocument {
  readonly name: string;
  readonly diameter_mm: number;
  readonly set: DrillSet | null;
  readonly owned: boolean;
  readonly role: DrillStep['role'];
  readonly curve: readonly CurvePoint[];
  readonly verdict: TargetJudgement['verdict'] | null;
  readonly worst: TargetJudgement['worst'] | null;
  /** Should it prove too large: the oil that brings the target back, over the chosen one at 25 °C. */
  readonly bringsBack: {
    readonly viscosityRatio: Estimate;
    readonly advice: OilAdvice;
    readonly oil: OilDocument | null;
  } | null;
}

export interface HoleAnswer {
  /** Diameter of the changed holes. */
  readonly hole_mm: Estimate;
  readonly advice: HoleAdvice;
  readonly change: HoleChange;
  /** The first to take, then those that overshoot. */
  readonly drills: readonly DrillDocument[];
  /** With holes of exactly that diameter. */
  readonly ideal: {
    readonly curve: readonly CurvePoint[];
    readonly reynolds: number;
    readonly leakShare: number;
    readonly aboveCeiling: boolean;
  };
  readonly remaining: TargetJudgement | null;
  /** What the measured curve says about the parts that calipers do not see; viscosity at the recording's temperature. */
  readonly blank: {
    readonly viscosity_cSt: Estimate;
    readonly gap_mm: Estimate;
    readonly loss: Readonly<Record<Direction, Estimate>>;
    readonly misfit: number;
  };
  readonly piston: PistonEntry;
  readonly present: OilDocument | null;
  readonly chosen: OilDocument | null;
  readonly remounts: { readonly have: number; readonly want: number | null };
  readonly temperature_degC: { readonly have: number | null; readonly want: number | null };
  readonly temperatureAssumed: boolean;
  readonly extrapolated: boolean;
  readonly beyond: readonly Beyond[];
  /** Directions whose curve bends as no flow through holes does, and which were not used. */
  readonly leftOut: readonly Direction[];
}

export type HoleQuestionRefusal = BuildRefusal | HoleRefusal | OilRefusal;
export type HoleOutcomeDocument =
  | { readonly ok: true; readonly answer: HoleAnswer }
  | {
      readonly ok: false;
      readonly side: 'have' | 'want' | 'piston' | 'both';
      readonly refusal: HoleQuestionRefusal;
    };

/** The hole that gives a piston a wanted damping, and the drills on the way to it; see `planHoles`. */
export function holeAnswer(question: HoleQuestion): HoleOutcomeDocument {
  const { want, piston, change, sets, shelf = [], tolerances } = question;
  const filled =
    question.present === undefined ? oilOfPiston(piston) : { ok: true as const, oil: question.present };
  if (!filled.ok) return { ok: false, side: 'piston', refusal: filled.refusal };
  const present = filled.oil;
  const chosen = question.chosen ?? present;
  const have = measuredBuild(question.have, { oil: present });
  if (!have.ok) return { ok: false, side: 'have', refusal: have.refusal };
  const wanted = targetCurve(want, 'damping');
  if (!wanted.ok) return { ok: false, side: 'want', refusal: wanted.refusal };
  const outcome = planHoles(have.build.damping, wanted.curve, pistonOf(piston), {
    present,
    chosen,
    shelf,
    owned_m: (question.ownedDrills_mm ?? []).map((drill_mm) => drill_mm / 1e3),
    ...(change && { change }),
    ...(sets && { sets }),
    ...(tolerances && { tolerances }),
  });
  if (!outcome.ok) {
    const side = 'field' in outcome.refusal ? 'piston' : 'both';
    return { ok: false, side, refusal: outcome.refusal };
  }
  const { plan } = outcome;
  const { curve, reynolds, leakShare, aboveCeiling } = plan.ideal;
  return {
    ok: true,
    answer: {
      hole_mm: plan.hole_mm,
      advice: plan.advice,
      change: plan.change,
      drills: plan.drills.map(drillDocument),
      ideal: { curve: curve.points, reynolds, leakShare, aboveCeiling },
      remaining: plan.remaining,
      blank: {
        viscosity_cSt: scaled(plan.blank.viscosity_m2_per_s, 1e6),
        gap_mm: scaled(plan.blank.gap_m, 1e3),
        loss: plan.blank.loss,
        misfit: plan.blank.misfit,
      },
      piston,
      present: present && oilDocument(present),
      chosen: chosen && oilDocument(chosen),
      remounts: {
        have: question.have.length,
        want: want.kind === 'recordings' ? want.analyses.length : null,
      },
      temperature_degC: {
        have: have.build.damping.temperature_degC,
        want: wanted.curve.temperature_degC,
      },
      temperatureAssumed: plan.temperatureAssumed,
      extrapolated: plan.extrapolated,
      beyond: plan.beyond,
      leftOut: plan.leftOut,
    },
  };
}

function drillDocument({ drill, role, prediction, judgement, bringsBack }: DrillStep): DrillDocument {
  return {
    name: drill.name,
    diameter_mm: drill.diameter_m * 1e3,
    set: drill.set,
    owned: drill.owned,
    role,
    curve: prediction.curve.points,
    verdict: judgement?.verdict ?? null,
    worst: judgement?.worst ?? null,
    bringsBack: bringsBack && { ...bringsBack, oil: bringsBack.oil && oilDocument(bringsBack.oil) },
  };
}

/** The oil that a piston's file says was around it. */
function oilOfPiston({
  oil_cSt,
  oil_density_kg_per_m3,
}: PistonEntry): ReturnType<typeof makeOil> | { ok: true; oil: null } {
  if (oil_cSt === undefined) return { ok: true, oil: null };
  return makeOil({
    label: `${oil_cSt} cSt`,
    printed: [{ viscosity_m2_per_s: oil_cSt * 1e-6, temperature_degC: 25 }],
    ...(oil_density_kg_per_m3 !== undefined && { density25_kg_per_m3: oil_density_kg_per_m3 }),
  });
}

function pistonOf(entry: PistonEntry): Piston {
  const { bore_mm, rod_mm, holes, hole_mm, thickness_mm, more_holes = [] } = entry;
  const { gap_mm, countersunk_mm = 0 } = entry;
  return {
    bore_m: bore_mm / 1e3,
    shaft_m: rod_mm / 1e3,
    thickness_m: thickness_mm / 1e3,
    holes: [{ holes, hole_mm }, ...more_holes].map((group) => ({
      count: group.holes,
      diameter_m: group.hole_mm / 1e3,
    })),
    gap_m: gap_mm === undefined ? null : gap_mm / 1e3,
    countersunk_m: countersunk_mm / 1e3,
  };
}

const scaled = ({ value, standardError }: Estimate, factor: number): Estimate =>
  estimateOf(value * factor, standardError * factor);
