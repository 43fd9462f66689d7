import { median, quantile } from '../numerics/summary.js';
import type { Trace } from '../trace.js';
import type { Criterion } from './evidence.js';
import { warning } from './finding.js';

/** A step this much longer than usual, in periods, is a gap, unless times are scattered. */
const leastExcess = 0.5;
const scatters = 4;

/**
 * Samples that should have been there, by what the rig counted or by gaps in the channels' own times. The usual period
 * is the rig's declared one, else that of the quicker quarter of the steps, so that a regular loss, one in three say,
 * shows too; one in two cannot be told from half the rate unless the rig declares it.
 */
export const samplesMissing: Criterion = ({ trace }) => {
  const { force, position, rig } = trace;
  const oneClock = sameTimes(trace);
  const lostForce = missingFrom(force.time_s, rig.conversionPeriod_s);
  const lostPosition = oneClock ? 0 : missingFrom(position.time_s, null);
  const samples = Math.max(rig.samplesMissing, lostForce + lostPosition);
  if (samples === 0) return null;
  const there = force.time_s.length + (oneClock ? 0 : position.time_s.length);
  return warning('samples-missing', { samples, percent: (100 * samples) / (there + samples) });
};

/** Force and position in the same rows: a row that is lost is one sample lost. */
function sameTimes({ force, position }: Trace): boolean {
  const n = force.time_s.length;
  let i = 0;
  while (i < n && force.time_s[i] === position.time_s[i]) i++;
  return i === n && n === position.time_s.length;
}

function missingFrom(time_s: Float64Array, declared_s: number | null): number {
  if (time_s.length < 5) return 0;
  const steps_s = new Float64Array(time_s.length - 1);
  for (let i = 0; i < steps_s.length; i++) steps_s[i] = time_s[i + 1] - time_s[i];
  const usual_s = usualPeriod(time_s, steps_s, declared_s);
  const beside_s = new Float64Array(steps_s.length);
  let usual = 0;
  for (let i = 0; i < steps_s.length; i++)
    if (steps_s[i] < (1 + leastExcess) * usual_s) beside_s[usual++] = Math.abs(steps_s[i] - usual_s);
  const scatter_s = usual > 0 ? median(beside_s.subarray(0, usual)) : 0;
  const longest_s = usual_s + Math.max(leastExcess * usual_s, scatters * scatter_s);
  let missing = 0;
  for (let i = 0; i < steps_s.length; i++)
    if (steps_s[i] > longest_s) missing += Math.round(steps_s[i] / usual_s) - 1;
  return missing;
}

/**
 * The declared period where the steps bear it out; else the lower quartile of the steps. Times rounded to a clock
 * nearly as coarse as the period make steps of one and two ticks out of even ones: there the mean over eight steps is
 * taken instead.
 */
function usualPeriod(time_s: Float64Array, steps_s: Float64Array, declared_s: number | null): number {
  const quick_s = quantile(steps_s, 0.25);
  const share = declared_s === null ? 0 : declared_s / quick_s;
  // About half of the quick steps: every other sample is lost.
  if ((share > 0.6 && share < 1.5) || (share > 0.45 && share < 0.55)) return declared_s!;
  if (!isCoarse(time_s, quick_s)) return quick_s;
  const means = Float64Array.from(
    { length: steps_s.length >> 3 },
    (_, k) => (time_s[8 * k + 8] - time_s[8 * k]) / 8,
  );
  return means.length > 0 ? quantile(means, 0.25) : quick_s;
}

/** Whether all times are whole milliseconds, tenths or hundredths of a second, and a period is only a few of them. */
function isCoarse(time_s: Float64Array, period_s: number): boolean {
  return [1e-2, 1e-3, 1e-4].some(
    (tick_s) =>
      period_s < 4 * tick_s &&
      time_s.every(
        (t) => Math.abs(t / tick_s - Math.round(t / tick_s)) < 1e-6 * Math.max(1, Math.abs(t / tick_s)),
      ),
  );
}
