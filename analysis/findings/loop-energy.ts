import type { Criterion } from './evidence.js';
import { warning } from './finding.js';
import { type PairWork, strokeWork } from './stroke-work.js';

/** Share of the measured work that a fit may miss at one speed. */
const leastShare = 0.01;
/** Standard errors by which it must miss it. */
const certain = 5;
/** Speeds within this ratio are one step of a ladder. */
const stepRatio = 1.25;
const fewestPairs = 3;

/**
 * Energy that does not add up: at one of the recording's speeds the fitted force takes up another amount of energy
 * along the measured motion than the measured force. Over the whole recording the two always agree, least squares see
 * to that; speed by speed they agree only where drag and damping have the fitted form.
 */
export const loopEnergy: Criterion = ({ samples, motion }) => {
  let worst: { share: number; speed_m_per_s: number } | null = null;
  for (const pairs of bySpeed(strokeWork(samples, motion))) {
    const n = pairs.length;
    if (n < fewestPairs) continue;
    const work_J = mean(pairs.map((pair) => pair.work_J));
    const missed_J = mean(pairs.map((pair) => pair.unexplained_J));
    const spread = mean(pairs.map((pair) => (pair.unexplained_J - missed_J) ** 2));
    const error_J = Math.sqrt(spread / (n - 1));
    const share = missed_J / work_J;
    if (!(work_J > 0 && Math.abs(share) > leastShare && Math.abs(missed_J) > certain * error_J)) continue;
    if (!worst || Math.abs(share) > Math.abs(worst.share))
      worst = { share, speed_m_per_s: mean(pairs.map((pair) => pair.peakSpeed_m_per_s)) };
  }
  return (
    worst &&
    warning('loop-energy-mismatch', {
      percent: 100 * Math.abs(worst.share),
      speed_mm_per_s: 1e3 * worst.speed_m_per_s,
    })
  );
};

function bySpeed(pairs: readonly PairWork[]): PairWork[][] {
  const groups: PairWork[][] = [];
  for (const pair of [...pairs].sort((a, b) => a.peakSpeed_m_per_s - b.peakSpeed_m_per_s)) {
    const group = groups[groups.length - 1];
    if (group && pair.peakSpeed_m_per_s < stepRatio * group[0].peakSpeed_m_per_s) group.push(pair);
    else groups.push([pair]);
  }
  return groups;
}

const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
