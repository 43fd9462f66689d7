import { commonSpeeds } from '../curves/common-speeds.js';
import {
  type Direction,
  directionOf,
  directions,
  type ForceCurve,
  fastestOf,
} from '../curves/force-curve.js';
import { forceOn } from '../curves/read-curve.js';
import { coverage95, estimateOf } from '../estimate.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import { simultaneousReach } from './conformance.js';
import { allowed_N, refuseTolerances, type Tolerance, type ToleranceRefusal } from './tolerance.js';

export type Verdict = 'within' | 'outside' | 'undecided';

/** One speed at which a curve was held against its target. */
export interface JudgedSpeed {
  readonly velocity_m_per_s: number;
  readonly target_N: number;
  /** Of the force's magnitude: positive where the build damps more than the target. */
  readonly deviation_N: Estimate;
  readonly deviation_percent: Estimate;
  readonly allowed_N: number;
  readonly verdict: Verdict;
  readonly extrapolated: boolean;
}

/** Speeds of the target that were not measured. */
export interface UnmeasuredSpeeds {
  readonly direction: Direction;
  readonly from_m_per_s: number;
  readonly to_m_per_s: number;
}

export interface TargetJudgement {
  readonly verdict: Verdict;
  /** The speed with the largest deviation in terms of what is allowed there. */
  readonly worst: JudgedSpeed;
  /** By increasing velocity. */
  readonly speeds: readonly JudgedSpeed[];
  readonly unmeasured: readonly UnmeasuredSpeeds[];
  /** True where a judged speed lies beyond the measured ones. */
  readonly extrapolated: boolean;
}

export type JudgeRefusal =
  | ToleranceRefusal
  | Refusal<'no-common-speeds' | 'different-kinds' | 'different-temperatures'>;
export type JudgeOutcome =
  | { readonly ok: true; readonly judgement: TargetJudgement }
  | { readonly ok: false; readonly refusal: JudgeRefusal };

export interface JudgeOptions {
  /** Times the fastest measured speed up to which a target is still judged, from the curve led on; default 1.1. */
  readonly beyond?: number;
}

const usuallyBeyond = 1.1;
/** Oil temperatures that differ by less than this change damping by less than 1 %. */
const sameTemperature_K = 0.5;

/**
 * Says whether a build's curve meets a target.
 * @param measured curve of the build, see `meanOfRemounts` for several recordings, `broughtTo` for temperatures
 * @param target curve to reach, of the same kind; its own uncertainty counts
 * @returns *within* when the 95 % interval of the deviation lies inside the tolerance at every judged speed,
 *   *outside* when a band that holds at all speeds at once leaves it somewhere, else *undecided*; also undecided where
 *   the target goes further beyond the measured speeds than is judged
 * Numerical notes: requiring every interval to lie inside makes pointwise intervals enough (an intersection-union
 *   test); looking for one speed outside does not, hence the wider band. Both draw the limit in by the uncertainty.
 * Source: ISO 14253-1 and JCGM 106 for decisions with guard bands; Scheffé's method for the wider band
 */
export function judgeTarget(
  measured: ForceCurve,
  target: ForceCurve,
  tolerances: readonly Tolerance[],
  { beyond = usuallyBeyond }: JudgeOptions = {},
): JudgeOutcome {
  const refusal = refuseTolerances(tolerances) ?? refusePair(measured, target);
  if (refusal) return { ok: false, refusal };
  const speeds = judgedSpeeds(measured, target, tolerances, beyond);
  if (speeds.length === 0)
    return {
      ok: false,
      refusal: {
        code: 'no-common-speeds',
        found: `target from ${range(target)}, measured ${range(measured)}`,
        wanted: 'a target with tolerances at speeds that were measured',
      },
    };
  const unmeasured = unmeasuredSpeeds(measured, target, tolerances, beyond);
  const outside = speeds.some(({ verdict }) => verdict === 'outside');
  const within = unmeasured.length === 0 && speeds.every(({ verdict }) => verdict === 'within');
  const excess = ({ deviation_N, allowed_N }: JudgedSpeed) =>
    Math.abs(deviation_N.value) / (allowed_N || 1e-12);
  return {
    ok: true,
    judgement: {
      verdict: outside ? 'outside' : within ? 'within' : 'undecided',
      worst: speeds.reduce((worst, speed) => (excess(speed) > excess(worst) ? speed : worst)),
      speeds,
      unmeasured,
      extrapolated: speeds.some(({ extrapolated }) => extrapolated),
    },
  };
}

function judgedSpeeds(
  measured: ForceCurve,
  target: ForceCurve,
  tolerances: readonly Tolerance[],
  beyond: number,
): JudgedSpeed[] {
  const own = commonSpeeds(target, measured, beyond);
  const between = target.origin === 'typed' ? speedsBetween(measured, own) : [];
  const velocities = [...new Set([...own, ...between])].sort((a, b) => a - b);
  if (velocities.length === 0) return [];
  const sides = new Set(velocities.map(directionOf)).size;
  const terms = target.kind === 'damping' ? 3 : 4;
  const degreesOfFreedom = Math.min(measured.degreesOfFreedom, target.degreesOfFreedom);
  const everywhere = simultaneousReach(terms, sides, degreesOfFreedom);
  return velocities.flatMap((velocity_m_per_s): JudgedSpeed[] => {
    const wanted = forceOn(target, velocity_m_per_s);
    const found = forceOn(measured, velocity_m_per_s);
    const allowed = wanted && allowed_N(tolerances, velocity_m_per_s, wanted.force_N);
    if (!wanted || !found || allowed === null) return [];
    const target_N = Math.abs(wanted.force_N);
    const deviation = Math.sign(velocity_m_per_s) * (found.force_N - wanted.force_N);
    const standardError = Math.hypot(found.standardError_N, wanted.standardError_N);
    const farthest = Math.abs(deviation) + coverage95(degreesOfFreedom) * standardError;
    const nearest = Math.abs(deviation) - everywhere * standardError;
    return [
      {
        velocity_m_per_s,
        target_N,
        deviation_N: estimateOf(deviation, standardError, degreesOfFreedom),
        deviation_percent: estimateOf(
          (100 * deviation) / target_N,
          (100 * standardError) / target_N,
          degreesOfFreedom,
        ),
        allowed_N: allowed,
        verdict: farthest <= allowed ? 'within' : nearest > allowed ? 'outside' : 'undecided',
        extrapolated: found.extrapolated || wanted.extrapolated,
      },
    ];
  });
}

/** Measured speeds between the target's own, so that a build cannot leave the target unseen between two points. */
function speedsBetween(measured: ForceCurve, own: readonly number[]): number[] {
  return measured.points
    .map(({ velocity_m_per_s }) => velocity_m_per_s)
    .filter((v) => {
      const side = own.filter((speed) => speed * v > 0).map(Math.abs);
      return Math.abs(v) >= Math.min(...side) && Math.abs(v) <= Math.max(...side);
    });
}

function unmeasuredSpeeds(
  measured: ForceCurve,
  target: ForceCurve,
  tolerances: readonly Tolerance[],
  beyond: number,
): UnmeasuredSpeeds[] {
  return directions.flatMap((direction): UnmeasuredSpeeds[] => {
    const from_m_per_s = fastestOf(measured, direction);
    const demanded = tolerances.filter((one) => one.direction === 'both' || one.direction === direction);
    const wanted = Math.min(
      fastestOf(target, direction),
      Math.max(0, ...demanded.map(({ to_m_per_s }) => to_m_per_s)),
    );
    return wanted > from_m_per_s * beyond ? [{ direction, from_m_per_s, to_m_per_s: wanted }] : [];
  });
}

function refusePair(measured: ForceCurve, target: ForceCurve): JudgeRefusal | null {
  if (measured.kind !== target.kind)
    return {
      code: 'different-kinds',
      found: `${measured.kind} force against a target of ${target.kind} force`,
      wanted: 'damping against damping, or total against total',
    };
  const [t, wanted] = [measured.temperature_degC, target.temperature_degC];
  if (t !== null && wanted !== null && Math.abs(t - wanted) > sameTemperature_K)
    return {
      code: 'different-temperatures',
      found: `${t.toFixed(1)} °C against ${wanted.toFixed(1)} °C`,
      wanted: `both brought to one temperature, within ${sameTemperature_K} K`,
    };
  return null;
}

const range = (curve: ForceCurve): string =>
  directions.map((side) => `${side} to ${(1e3 * fastestOf(curve, side)).toFixed(0)} mm/s`).join(', ');
