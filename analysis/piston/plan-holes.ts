import { commonSpeeds } from '../curves/common-speeds.js';
import { type Direction, directions, type ForceCurve, fastestOf } from '../curves/force-curve.js';
import { curveReader } from '../curves/read-curve.js';
import { atCeiling, errorModes, withoutBentSides } from '../curves/two-terms.js';
import { estimateOf } from '../estimate.js';
import { type Oil, thinning } from '../oil/oil.js';
import { type OilAdvice, planOil } from '../oil/plan-oil.js';
import { changeOfOil } from '../oil/rank-oils.js';
import { thinningUncertainty } from '../oil/similarity.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import { judgeTarget, type TargetJudgement } from '../target/judge.js';
import { everywhere, type Tolerance } from '../target/tolerance.js';
import { type Blank, type BlankPoint, identifyBlank } from './blank.js';
import { type Drill, type DrillSet, drillsAround, drillsOf } from './drills.js';
import { type HoleChange, type Piston, type PistonRefusal, presentHole_m, refusePiston } from './piston.js';
import { type Prediction, type PredictionBasis, predictCurve } from './predict.js';
import { largestHole_m, solveHole_m, type WantedForces } from './solve-hole.js';

/** One drill of the plan and what the piston would do after it. */
export interface DrillStep {
  readonly drill: Drill;
  /** The one to take first, the largest that its owner has where there is one; then those on the way and beyond. */
  readonly role: 'first' | 'next';
  readonly prediction: Prediction;
  readonly judgement: TargetJudgement | null;
  /** Should it turn out too large: the oil that brings the target back, over the chosen one at 25 °C. */
  readonly bringsBack: {
    readonly viscosityRatio: Estimate;
    readonly advice: OilAdvice;
    readonly oil: Oil | null;
  } | null;
}

export type HoleAdvice =
  /** Damping as measured is near enough, or the holes are as near as can be told: drilling can only take that away. */
  | 'keep-holes'
  /** Take the first drill, measure, then decide about the next. */
  | 'drill'
  /** The present holes are the nearest already: every drill there is overshoots. */
  | 'no-drill-between'
  /** The holes would have to shrink: thicker oil, or a new piston. */
  | 'holes-too-large';

export type Beyond = 'speed' | 'hole-size' | 'laminar-flow' | 'ceiling';

export interface HolePlan {
  /** Diameter of the changed holes, mm. */
  readonly hole_mm: Estimate;
  readonly change: HoleChange;
  readonly advice: HoleAdvice;
  readonly blank: Blank;
  readonly drills: readonly DrillStep[];
  /** Predicted with holes of exactly the solved diameter. */
  readonly ideal: Prediction;
  readonly remaining: TargetJudgement | null;
  readonly extrapolated: boolean;
  /** In what respect the prediction leaves what was measured or what the model is made for. */
  readonly beyond: readonly Beyond[];
  readonly temperatureAssumed: boolean;
  /** Directions that were not used, see `withoutBentSides`. */
  readonly leftOut: readonly Direction[];
}

export type HoleRefusal = PistonRefusal | Refusal<'no-common-speeds' | 'not-damping' | 'out-of-reach'>;
export type HoleOutcome =
  | { readonly ok: true; readonly plan: HolePlan }
  | { readonly ok: false; readonly refusal: HoleRefusal };

export interface HolePlanOptions {
  /** Oil in the blank when its curve was measured; without it gap and viscosity are hard to tell apart. */
  readonly present?: Oil | null;
  /** Oil to be used with the new holes; the present one where nothing is said. */
  readonly chosen?: Oil | null;
  readonly change?: HoleChange;
  readonly sets?: readonly DrillSet[];
  /** Diameters of the owner's drills, m. */
  readonly owned_m?: readonly number[];
  readonly shelf?: readonly Oil[];
  readonly tolerances?: readonly Tolerance[];
  /** Standard uncertainty of the present and of a drilled hole's diameter, m. Common practice, no source. */
  readonly measuredHole_m?: number;
  readonly drilledHole_m?: number;
}

type Straightened = ReturnType<typeof withoutBentSides>;

const slowestShare = 0.15;
/** No crank turns exactly as fast again. */
const asFast = 1.02;
/** Holes that grow by more than this are further from the measured ones than the model was ever held against. */
const farHole = 1.25;
const laminarReynolds = 2000;
/** Uncertainty of the flow model, per relative change of diameter. */
const modelDrift = 0.01;

/**
 * The hole that gives a piston a wanted damping curve, and the drills on the way to it.
 * @param measured damping of the blank
 * @param target damping to reach, at its own oil temperature where that is known
 * @param piston geometry of the blank
 * @returns diameter with interval, drills from below with predicted curves, and what brings back an overshoot
 * Source: see `pistonFlow` for the model and `identifyBlank` for its unknowns
 */
export function planHoles(
  measured: ForceCurve,
  target: ForceCurve,
  piston: Piston,
  options: HolePlanOptions = {},
): HoleOutcome {
  const [{ curve: have, leftOut: here }, { curve: want, leftOut: there }] = [measured, target].map(
    withoutBentSides,
  ) as [Straightened, Straightened];
  const { present = null, change = { kind: 'all' }, measuredHole_m = 5e-6, drilledHole_m = 10e-6 } = options;
  const chosen = options.chosen ?? present;
  const { tolerances = everywhere(5), sets = ['number', 'metric'], owned_m = [], shelf = [] } = options;
  const refusal = refusePiston(piston) ?? refuseCurves(have, want);
  if (refusal) return { ok: false, refusal };
  const wanted = wantedForces(have, want);
  if (wanted.velocities_m_per_s.length === 0)
    return refuse('no-common-speeds', 'curves without a common direction', 'damping in the same direction');

  const temperature_degC = want.temperature_degC ?? have.temperature_degC;
  const oilChange = oilShift(have, temperature_degC, present, chosen);
  const density_kg_per_m3 = chosen?.density25_kg_per_m3 ?? 968;
  const moved = (point: BlankPoint, shift = oilChange.logRatio): BlankPoint =>
    oilChange.absolute === null
      ? [point[0] + shift, point[1], point[2], point[3]]
      : [oilChange.absolute, point[1], point[2], point[3]];
  const blank = identifyBlank(have, piston, present);
  const start = { piston, change, density_kg_per_m3 };
  const largest_m = largestHole_m(piston, change);
  const best = moved(blank.best);
  const hole_m = solveHole_m(start, best, wanted, largest_m);
  if (hole_m === null)
    return refuse(
      'out-of-reach',
      'a target that no hole in this piston reaches with this oil',
      'another oil or piston',
    );

  const modes = [...blank.modes.map((mode) => moved(mode)), withViscosity(best, oilChange.uncertainty)];
  const misread = withMeasuredHole(piston, measuredHole_m);
  const variations = [
    ...modes.map((mode) => solveHole_m(start, mode, wanted, largest_m)),
    ...errorModes(want).map((erring) => solveHole_m(start, best, wantedForces(have, erring), largest_m)),
    solveHole_m(
      { ...start, piston: misread },
      moved(identifyBlank(have, misread, present).best),
      wanted,
      largest_m,
    ),
  ].map((varied) => (varied ?? hole_m) - hole_m);
  const present_m = presentHole_m(piston, change);
  const growth = present_m > 0 ? Math.abs(Math.log(hole_m / present_m)) : 0;
  const standard_m = Math.hypot(...variations, modelDrift * growth * hole_m);
  const hole_mm = estimateOf(1e3 * hole_m, 1e3 * standard_m);

  const basis: PredictionBasis = { ...start, temperature_degC, best, modes, drilled_m: drilledHole_m };
  const judge = ({ curve }: Prediction) => {
    const judged = judgeTarget(curve, want, tolerances);
    return judged.ok ? judged.judgement : null;
  };
  const predict = (diameter_m: number) => predictCurve(basis, diameter_m, curveVelocities(have, want));
  const { below, above } = drillsAround(hole_m, present_m, drillsOf(sets, owned_m));
  const fitting = [...below, ...above].filter(({ diameter_m }) => diameter_m < largest_m);
  const ideal = predict(hole_m);
  const beyond = beyondOf(have, want, ideal, present_m > 0 ? hole_m / present_m : 1);
  const advice = (): HoleAdvice => {
    if (chosen === present && isReached(have, want, present, tolerances)) return 'keep-holes';
    if (hole_m <= present_m) return 1e3 * present_m <= hole_mm.high95 ? 'keep-holes' : 'holes-too-large';
    return below.length > 0 ? 'drill' : 'no-drill-between';
  };
  return {
    ok: true,
    plan: {
      hole_mm,
      change,
      advice: advice(),
      blank,
      drills: fitting.map((drill): DrillStep => {
        const prediction = predict(drill.diameter_m);
        return {
          drill,
          role: drill === below[0] ? 'first' : 'next',
          prediction,
          judgement: judge(prediction),
          bringsBack: below.includes(drill) ? null : bringBack(prediction, want, chosen, shelf, tolerances),
        };
      }),
      ideal,
      remaining: judge(ideal),
      extrapolated: beyond.length > 0,
      beyond,
      temperatureAssumed: have.temperature_degC === null || want.temperature_degC === null,
      leftOut: directions.filter((direction) => here.includes(direction) || there.includes(direction)),
    },
  };
}

/** As it is, in the oil that is in it; judged as where the oil might be changed. */
function isReached(
  have: ForceCurve,
  want: ForceCurve,
  present: Oil | null,
  tolerances: readonly Tolerance[],
): boolean {
  const outcome = planOil(have, want, { present, tolerances });
  return outcome.ok && outcome.plan.advice === 'keep-oil';
}

/** Viscosity of the plan's oil against the blank's: a logarithm to add, or, where the present oil is unknown, its own. */
function oilShift(
  have: ForceCurve,
  temperature_degC: number | null,
  present: Oil | null,
  chosen: Oil | null,
) {
  const from = have.temperature_degC ?? temperature_degC;
  const at = (oil: Oil | null, temperature: number | null) =>
    temperature === null ? 1 : thinning(oil, temperature);
  const warming = Math.log(at(chosen, temperature_degC) / at(chosen, from));
  if (!chosen || chosen === present)
    return { logRatio: warming, absolute: null, uncertainty: thinningUncertainty * Math.abs(warming) };
  if (!present)
    return {
      logRatio: 0,
      absolute: Math.log(chosen.viscosity25_m2_per_s * at(chosen, temperature_degC)),
      uncertainty: chosen.uncertainty,
    };
  const { viscosityRatio, uncertainty } = changeOfOil(present, chosen);
  const families = Math.log(at(chosen, from) / at(present, from));
  return {
    logRatio: Math.log(viscosityRatio) + families + warming,
    absolute: null,
    uncertainty: Math.hypot(uncertainty, thinningUncertainty * Math.abs(warming)),
  };
}

const withViscosity = ([viscosity, ...rest]: BlankPoint, change: number): BlankPoint => [
  viscosity + change,
  ...rest,
];

const withMeasuredHole = (piston: Piston, change_m: number): Piston => ({
  ...piston,
  holes: piston.holes.map(({ count, diameter_m }) => ({ count, diameter_m: diameter_m + change_m })),
});

function wantedForces(have: ForceCurve, want: ForceCurve): WantedForces {
  const read = curveReader(want);
  const velocities_m_per_s = commonSpeeds(want, have, 1.1, slowestShare).filter(
    (v) => !atCeiling(want, { velocity_m_per_s: v, force_N: read(v)!.force_N }),
  );
  return { velocities_m_per_s, forces_N: velocities_m_per_s.map((v) => read(v)!.force_N) };
}

function curveVelocities(have: ForceCurve, want: ForceCurve): number[] {
  const shares = [0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1];
  return directions
    .flatMap((direction) => {
      const fastest = Math.max(
        fastestOf(have, direction),
        Math.min(fastestOf(want, direction), 1.1 * fastestOf(have, direction)),
      );
      return shares.map((share) => share * fastest * (direction === 'compression' ? 1 : -1));
    })
    .filter((v) => v !== 0)
    .sort((a, b) => a - b);
}

function bringBack(
  { curve }: Prediction,
  want: ForceCurve,
  chosen: Oil | null,
  shelf: readonly Oil[],
  tolerances: readonly Tolerance[],
): DrillStep['bringsBack'] {
  const outcome = planOil(curve, want, { present: chosen, shelf, tolerances });
  if (!outcome.ok) return null;
  const { ratio, advice, shelf: choices, blend } = outcome.plan;
  const oil = advice === 'shelf-oil' ? choices[0].oil : advice === 'blend' ? (blend?.oil ?? null) : null;
  return { viscosityRatio: ratio, advice, oil };
}

function beyondOf(have: ForceCurve, want: ForceCurve, ideal: Prediction, growth: number): Beyond[] {
  const faster = directions.some((side) => {
    const measured = fastestOf(have, side);
    return measured > 0 && fastestOf(want, side) > measured * asFast;
  });
  return [
    ...(faster ? (['speed'] as const) : []),
    ...(growth > farHole || growth < 1 / farHole ? (['hole-size'] as const) : []),
    ...(ideal.reynolds > laminarReynolds ? (['laminar-flow'] as const) : []),
    ...(ideal.aboveCeiling ? (['ceiling'] as const) : []),
  ];
}

function refuseCurves(have: ForceCurve, want: ForceCurve): HoleRefusal | null {
  if (have.kind === 'damping' && want.kind === 'damping') return null;
  return { code: 'not-damping', found: 'a total force', wanted: 'damping alone: holes do not change drag' };
}

const refuse = (
  code: 'no-common-speeds' | 'not-damping' | 'out-of-reach',
  found: string,
  wanted: string,
): HoleOutcome => ({ ok: false, refusal: { code, found, wanted } });
