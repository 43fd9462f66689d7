import {
  coverage95,
  type ForceCurve,
  type JudgedSpeed,
  type JudgeRefusal,
  judgeTarget,
  type KnownSpread,
  type Oil,
  type RecordingAnalysis,
  type TargetJudgement,
  type Tolerance,
} from '../../analysis/index.js';
import { type BuildRefusal, curveOf, measuredBuild, type Target, targetCurve } from './measured-build.js';

export interface MatchQuestion {
  /** One a remount. */
  readonly analyses: readonly RecordingAnalysis[];
  readonly target: Target;
  readonly tolerances: readonly Tolerance[];
  readonly kind: ForceCurve['kind'];
  /** Oil in the build, whose thinning brings it to the target's temperature; silicone where it is not known. */
  readonly oil?: Oil | null;
  /** Spread between remounts from elsewhere, such as the rig's long-run spread. */
  readonly known?: KnownSpread | undefined;
}

export interface MatchAnswer extends TargetJudgement {
  readonly kind: ForceCurve['kind'];
  readonly remounts: number;
  /** Oil temperature of the comparison; null where none is known. */
  readonly temperature_degC: number | null;
  /** True where build or target has no temperature, so that equal ones are taken for granted. */
  readonly temperatureAssumed: boolean;
  readonly ceiling_N: { readonly build: number | null; readonly target: number | null };
  /**
   * Remounts in all with which every speed would be decided if the deviations stayed as they are; null where the
   * spread between remounts is not known yet, where a deviation lies at its limit, or where nothing is undecided.
   */
  readonly remountsToDecide: number | null;
}

export type MatchOutcome =
  | { readonly ok: true; readonly answer: MatchAnswer }
  | { readonly ok: false; readonly side: 'build' | 'target' | 'both'; readonly refusal: MatchRefusal };
export type MatchRefusal = BuildRefusal | JudgeRefusal;

/** Nobody remounts a shock more often for one answer. */
const mostRemounts = 12;

/** Whether a build meets a target, see `judgeTarget`; the build is brought to the target's temperature first. */
export function matchAnswer(question: MatchQuestion): MatchOutcome {
  const { analyses, target, tolerances, kind, oil = null, known } = question;
  const wanted = targetCurve(target, kind, { oil, known });
  if (!wanted.ok) return { ok: false, side: 'target', refusal: wanted.refusal };
  const at_degC = wanted.curve.temperature_degC;
  const measured = measuredBuild(analyses, { oil, at_degC, known });
  const found = measured.ok ? curveOf(measured.build, kind) : measured;
  if (!found.ok) return { ok: false, side: 'build', refusal: found.refusal };
  const judged = judgeTarget(found.curve, wanted.curve, tolerances);
  if (!judged.ok) return { ok: false, side: 'both', refusal: judged.refusal };
  const remounts = analyses.length;
  return {
    ok: true,
    answer: {
      ...judged.judgement,
      kind,
      remounts,
      temperature_degC: at_degC ?? found.curve.temperature_degC,
      temperatureAssumed: at_degC === null || found.curve.temperature_degC === null,
      ceiling_N: { build: found.curve.ceiling_N, target: wanted.curve.ceiling_N },
      remountsToDecide: remountsToDecide(judged.judgement, remounts),
    },
  };
}

function remountsToDecide({ verdict, speeds }: TargetJudgement, remounts: number): number | null {
  if (verdict !== 'undecided' || remounts < 2) return null;
  const undecided = speeds.filter((speed) => speed.verdict === 'undecided');
  for (let n = remounts + 1; n <= mostRemounts; n++)
    if (undecided.every((speed) => wouldDecide(speed, remounts, n))) return n;
  return null;
}

function wouldDecide({ deviation_N, allowed_N }: JudgedSpeed, remounts: number, n: number): boolean {
  const reach = coverage95(n - 1) * deviation_N.standardError * Math.sqrt(remounts / n);
  return Math.abs(Math.abs(deviation_N.value) - allowed_N) > reach;
}
