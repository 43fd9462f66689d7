import type { RecordedMotion } from '../identification/prepare.js';
import { mean, standardDeviation } from '../numerics/summary.js';
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
const bands = 20;
const bounds_m_per_s = Array.from({ length: bands + 1 }, (_, band) => slowest_m_per_s * bandRatio ** band);
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
  for (const { speed_m_per_s, works_J, unexplained_J } of workAtSpeeds(samples, motion)) {
    const n = works_J.length;
    if (n < fewestPairs) continue;
    const work_J = mean(works_J);
    const missed_J = mean(unexplained_J);
    const error_J = standardDeviation(unexplained_J) / Math.sqrt(n);
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
  readonly works_J: Float64Array;
  readonly unexplained_J: Float64Array;
}

function workAtSpeeds(samples: FittedSamples, { strokes: { strokes } }: RecordedMotion): BandWork[] {
  const { time_s, velocity_m_per_s, force_N, residual_N, stroke } = samples;
  const work_J = new Float64Array(strokes.length * bands);
  const unexplained_J = new Float64Array(strokes.length * bands);
  const steps = new Int32Array(strokes.length * bands);
  for (let i = 0, band = 0; i + 1 < stroke.length; i++) {
    const k = stroke[i];
    const duration_s = time_s[i + 1] - time_s[i];
    if (stroke[i + 1] !== k || !strokes[k].complete) continue;
    if (duration_s > longestGap * (strokes[k].end_s - strokes[k].start_s)) continue;
    const v = velocity_m_per_s[i];
    const speed = Math.abs(v);
    if (!(speed >= slowest_m_per_s)) continue;
    while (band + 1 < bands && speed >= bounds_m_per_s[band + 1]) band++;
    while (speed < bounds_m_per_s[band]) band--;
    const at = k * bands + band;
    work_J[at] += force_N[i] * v * duration_s;
    unexplained_J[at] += residual_N[i] * v * duration_s;
    steps[at]++;
  }
  return Array.from({ length: bands }, (_, band) => {
    const pairs: number[] = [];
    for (let at = band; at + bands < steps.length; at += 2 * bands)
      if (steps[at] > 0 && steps[at + bands] > 0) pairs.push(at);
    const ofPairs = (of: Float64Array) => Float64Array.from(pairs, (at) => of[at] + of[at + bands]);
    return {
      speed_m_per_s: Math.sqrt(bounds_m_per_s[band] * bounds_m_per_s[band + 1]),
      works_J: ofPairs(work_J),
      unexplained_J: ofPairs(unexplained_J),
    };
  });
}
