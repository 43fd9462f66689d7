import type { CurvePoint, JudgedSpeed } from '../../../analysis/index.js';
import type { AskedPair, PairCurves } from '../../server/api.js';
import type { PredictedCurve, TargetPicture, TargetPoint } from '../charts/target.js';
import { identityOfBuild } from '../together/selection.js';
import { nameOfBuild } from './answer-parts.js';

/** Speeds as they were judged: the target with what is allowed, and the build with the interval of its deviation. */
export function judgedPicture(asked: AskedPair, speeds: readonly JudgedSpeed[]): TargetPicture {
  const target = speeds.map(({ velocity_m_per_s, target_N, allowed_N }): TargetPoint => {
    return { velocity_m_per_s, force_N: Math.sign(velocity_m_per_s) * target_N, allowed_N };
  });
  return { ...named(asked, target, speeds.map(foundAt)), predicted: [] };
}

/** Both builds as they are, and what is predicted for the one. */
export function plannedPicture(
  asked: AskedPair,
  { have, target }: PairCurves,
  percent: number,
  predicted: readonly Omit<PredictedCurve, 'colour'>[],
): TargetPicture {
  const points = target.map(({ velocity_m_per_s, force_N }): TargetPoint => {
    return { velocity_m_per_s, force_N, allowed_N: (Math.abs(force_N) * percent) / 100 };
  });
  const { colour } = identityOfBuild(asked.have.buildId);
  return { ...named(asked, points, have), predicted: predicted.map((curve) => ({ ...curve, colour })) };
}

/** The curve that a judgement was made on, put together again from target and deviation. */
export const judgedCurve = (speeds: readonly JudgedSpeed[]): CurvePoint[] => speeds.map(foundAt);

function foundAt({ velocity_m_per_s, target_N, deviation_N }: JudgedSpeed): CurvePoint {
  const side = Math.sign(velocity_m_per_s);
  const ends = [deviation_N.low95, deviation_N.high95].map((deviation) => side * (target_N + deviation));
  return {
    velocity_m_per_s,
    force_N: side * (target_N + deviation_N.value),
    standardError_N: deviation_N.standardError,
    low95_N: Math.min(...ends),
    high95_N: Math.max(...ends),
  };
}

function named({ have, target }: AskedPair, points: readonly TargetPoint[], total: readonly CurvePoint[]) {
  return {
    target: {
      name: `Target: ${nameOfBuild(target.buildId)}`,
      colour: identityOfBuild(target.buildId).colour,
      points,
    },
    builds: [{ name: nameOfBuild(have.buildId), identity: identityOfBuild(have.buildId), total }],
  };
}
