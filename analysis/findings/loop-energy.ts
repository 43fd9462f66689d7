import type { RecordedMotion } from '../identification/prepare.js';
import type { Criterion, FittedSamples } from './evidence.js';
import { warning } from './finding.js';
import { longestGap } from './stroke-work.js';

/** Share of the measured work that a fit may miss at one speed; more in one of 400 sound simulated recordings. */
const leastShare = 0.005;
/** Standard errors between stroke pairs by which it must miss it. */
const certain = 4;
/** Speeds are taken together from the slowest on, each band reaching to this multiple of its lower end. */
const slowest_m_per_s = 4e-3;
const bandRatio = 1.6;
const fewestPairs = 3;

/**
 * Energy that does not add up: while the shaft moves at some speed the fitted force takes up another amount of energy
 * along the measured motion than the measured force. Over the whole recording the two always agree, least squares see
 * to that; speed by speed they agree only where drag and damping have the fitted form. Said only where damping is
 * fitted: without it, what depends on speed is missing everywhere.
 */
export const loopEnergy: Criterion = ({ samples, motion, identification }) => {
  if (!identification.problem.terms.includes('linearCompression')) return null;
  let worst: { share: number; speed_m_per_s: number } | null = null;
  for (const { speed_m_per_s, pairs } of workAtSpeeds(samples, motion)) {
    const n = pairs.length;
    if (n < fewestPairs) continue;
    const work_J = mean(pairs.map((pair) => pair.work_J));
    const missed_J = mean(pairs.map((pair) => pair.unexplained_J));
    const spread = mean(pairs.map((pair) => (pair.unexplained_J - missed_J) ** 2));
    const error_J = Math.sqrt(spread / (n - 1));
    const share = missed_J / work_J;
    if (!(work_J > 0 && Math.abs(share) > leastShare && Math.abs(missed_J) > certain * error_J)) continue;
    if (!worst || Math.abs(share) > Math.abs(worst.share)) worst = { share, speed_m_per_s };
  }
  return (
    worst &&
    warning('loop-energy-mismatch', {
      percent: 100 * Math.abs(worst.share),
      speed_mm_per_s: 1e3 * worst.speed_m_per_s,
    })
  );
};

/** Work done while the speed was in one band. */
interface BandWork {
  /** Middle of the band. */
  readonly speed_m_per_s: number;
  /** One for each pair of whole strokes, out and back, that reached it both ways: gas falls out. */
  readonly pairs: readonly { readonly work_J: number; readonly unexplained_J: number }[];
}

function workAtSpeeds(samples: FittedSamples, { strokes: { strokes } }: RecordedMotion): BandWork[] {
  const { time_s, velocity_m_per_s, force_N, residual_N, stroke } = samples;
  const bands = new Map<number, Map<number, { work_J: number; unexplained_J: number }>>();
  for (let i = 0; i + 1 < stroke.length; i++) {
    const k = stroke[i];
    const duration_s = time_s[i + 1] - time_s[i];
    if (stroke[i + 1] !== k || !strokes[k].complete) continue;
    if (duration_s > longestGap * (strokes[k].end_s - strokes[k].start_s)) continue;
    const v = velocity_m_per_s[i];
    const band = Math.floor(Math.log(Math.abs(v) / slowest_m_per_s) / Math.log(bandRatio));
    if (!(band >= 0)) continue;
    const ofStrokes = bands.get(band) ?? bands.set(band, new Map()).get(band)!;
    const done = ofStrokes.get(k) ?? ofStrokes.set(k, { work_J: 0, unexplained_J: 0 }).get(k)!;
    done.work_J += force_N[i] * v * duration_s;
    done.unexplained_J += residual_N[i] * v * duration_s;
  }
  return [...bands].map(([band, ofStrokes]) => ({
    speed_m_per_s: slowest_m_per_s * bandRatio ** (band + 0.5),
    pairs: [...ofStrokes].flatMap(([k, one]) => {
      const other = k % 2 === 0 ? ofStrokes.get(k + 1) : undefined;
      if (!other) return [];
      return [{ work_J: one.work_J + other.work_J, unexplained_J: one.unexplained_J + other.unexplained_J }];
    }),
  }));
}

const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
