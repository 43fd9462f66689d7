import {
  broughtTo,
  type DampedBuild,
  dampingCurve,
  type Estimate,
  type ForceCurve,
  type KnownSpread,
  meanOfRemounts,
  type Oil,
  type RecordingAnalysis,
  type Refusal,
  remountMeans,
  type TypedPoint,
  totalCurve,
  typedCurve,
} from '../../analysis/index.js';
import { spreadOfCurve } from './known-spread.js';

/** One build as its remounts show it. */
export interface MeasuredBuild extends DampedBuild {
  /** Damping and drag together; null where a recording could not tell its drag. */
  readonly total: ForceCurve | null;
  readonly remounts: number;
}

/** What is to be reached: recordings of a build, or a curve that somebody wrote down. */
export type Target =
  | { readonly kind: 'recordings'; readonly analyses: readonly RecordingAnalysis[] }
  | {
      readonly kind: 'curve';
      readonly points: readonly TypedPoint[];
      /** Oil temperature at which the curve holds, or null where it does not say. */
      readonly temperature_degC: number | null;
    };

export type BuildRefusal = Refusal<
  'no-damping' | 'no-drag' | 'too-few-points' | 'not-finite' | 'repeated-speed' | 'wrong-sign'
>;
export type BuildOutcome =
  | { readonly ok: true; readonly build: MeasuredBuild }
  | { readonly ok: false; readonly refusal: BuildRefusal };
export type CurveOutcome =
  | { readonly ok: true; readonly curve: ForceCurve }
  | { readonly ok: false; readonly refusal: BuildRefusal };

export interface BuildOptions {
  /** Spread between remounts from elsewhere, such as the rig's long-run spread. */
  readonly known?: KnownSpread | undefined;
  /** In the build, for corrections of temperature; silicone where it is not known. */
  readonly oil?: Oil | null;
  /** Oil temperature to bring the recordings to, where they have one; their mean where nothing is said. */
  readonly at_degC?: number | null;
}

/**
 * Puts the remounts of one build together.
 * @param analyses one a remount, at least one
 * @returns mean curves with bands from the spread between remounts; a single remount keeps its own band, which knows
 *   nothing of remounts, unless their spread is known from elsewhere. The temperature is null unless every recording has one.
 */
export function measuredBuild(
  analyses: readonly RecordingAnalysis[],
  { oil = null, at_degC = null, known }: BuildOptions = {},
): BuildOutcome {
  const measuredAt_degC = meanTemperature_degC(analyses);
  const temperature_degC = measuredAt_degC === null ? null : (at_degC ?? measuredAt_degC);
  const dampings = whole(
    analyses.map((analysis): ForceCurve | null => {
      const curve = dampingCurve(analysis);
      return curve && { ...broughtTo(curve, temperature_degC, oil), temperature_degC };
    }),
  );
  if (!dampings)
    return {
      ok: false,
      refusal: {
        code: 'no-damping',
        found: 'a recording whose speeds do not tell damping',
        wanted: 'speeds that differ by more than a factor of three, as on a speed ladder',
      },
    };
  const totals = whole(dampings.map((damping, i) => totalCurve(damping, analyses[i]!.friction)));
  return {
    ok: true,
    build: {
      damping: meanOfRemounts(dampings, spreadOfCurve(known, 'damping')),
      total: totals && meanOfRemounts(totals, spreadOfCurve(known, 'total')),
      friction: {
        mean_N: meanOf(analyses.map(({ friction }) => friction.mean_N)),
        compression_N: meanOf(analyses.map(({ friction }) => friction.compression_N)),
        rebound_N: meanOf(analyses.map(({ friction }) => friction.rebound_N)),
        breakaway_N: meanOf(analyses.map(({ friction }) => friction.breakaway_N)),
      },
      remounts: analyses.length,
    },
  };
}

/** The curve of a build: damping alone, or with drag. */
export function curveOf(build: MeasuredBuild, kind: ForceCurve['kind']): CurveOutcome {
  const curve = kind === 'damping' ? build.damping : build.total;
  return curve
    ? { ok: true, curve }
    : {
        ok: false,
        refusal: { code: 'no-drag', found: 'a build whose drag is not known', wanted: 'strokes both ways' },
      };
}

/** The curve of a target, of the kind asked for; a written curve is taken for that kind. */
export function targetCurve(
  target: Target,
  kind: ForceCurve['kind'],
  options: BuildOptions = {},
): CurveOutcome {
  if (target.kind === 'curve')
    return typedCurve(target.points, { kind, temperature_degC: target.temperature_degC });
  const outcome = measuredBuild(target.analyses, options);
  return outcome.ok ? curveOf(outcome.build, kind) : outcome;
}

function meanTemperature_degC(analyses: readonly RecordingAnalysis[]): number | null {
  const temperatures = whole(analyses.map(({ temperature_degC }) => temperature_degC));
  return temperatures && temperatures.reduce((sum, t) => sum + t, 0) / temperatures.length;
}

function meanOf(estimates: readonly (Estimate | null)[]): Estimate | null {
  const all = whole(estimates);
  return all && (all.length === 1 ? all[0]! : remountMeans([all])[0]!);
}

/** The values, or null where one of them is. */
const whole = <Value>(values: readonly (Value | null)[]): readonly Value[] | null =>
  values.includes(null) ? null : (values as readonly Value[]);
