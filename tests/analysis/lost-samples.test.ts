import { describe, expect, it } from 'vitest';
import { findRests } from '../../analysis/identification/rests.js';
import {
  analyzeRecording,
  makeTrace,
  type RecordingAnalysis,
  type TraceInput,
} from '../../analysis/index.js';
import { randomFrom } from './played/random.js';
import { playLadder } from './played/recording.js';

function analysed(input: TraceInput): RecordingAnalysis {
  const made = makeTrace(input);
  const outcome = made.ok ? analyzeRecording(made.trace) : made;
  if (!outcome.ok) throw new Error(`${outcome.refusal.code}: ${outcome.refusal.found}`);
  return outcome.analysis;
}

describe('position samples that were lost', () => {
  const { trace, shock } = playLadder(3, { rate_Hz: 400 });
  const { time_s, position_m } = trace.position;
  const seenWhere = (seen: (time_s: number) => boolean): TraceInput => ({
    force: trace.force,
    position: {
      time_s: time_s.filter(seen),
      position_m: position_m.filter((_, i) => seen(time_s[i])),
    },
  });

  it.each<[string, (time_s: number) => boolean]>([
    ['half a second at once', (t) => t < 30 || t > 30.5],
    ['65 ms in every second', (t) => t % 1 > 0.065],
    ['the first quarter', (t) => t > 10],
  ])('cost no accuracy: %s', (_, seen) => {
    const { friction, damping } = analysed(seenWhere(seen));
    const drag_N = 0.5 * (shock.dragCompression_N + shock.dragRebound_N);
    expect(Math.abs(friction.mean_N!.value / drag_N - 1)).toBeLessThan(0.02);
    expect(Math.abs(damping.compression.linear_Ns_per_m!.value / shock.compression.linear - 1)).toBeLessThan(
      0.02,
    );
    expect(Math.abs(damping.rebound.linear_Ns_per_m!.value / shock.rebound.linear - 1)).toBeLessThan(0.02);
  });

  it('are told', () => {
    const { findings } = analysed(seenWhere((t) => t < 30 || t > 30.5));
    const told = findings.find(({ code }) => code === 'samples-missing');
    expect(told?.values.samples).toBe(200);
  });
});

describe('force that was measured for a short part of the motion', () => {
  it('tells of that part alone: few cycles, one speed, and no damping from speeds it did not see', () => {
    const { trace } = playLadder(1, { rate_Hz: 200 });
    const { time_s, force_N } = trace.force;
    const { cycles, friction, damping, findings } = analysed({
      force: {
        time_s: time_s.filter((t) => t < 2),
        force_N: force_N.filter((_, i) => time_s[i] < 2),
      },
      position: trace.position,
    });
    expect(cycles).toBeLessThan(2);
    expect(findings.map(({ code }) => code)).toContain('too-few-cycles');
    expect(damping.compression.linear_Ns_per_m).toBeNull();
    const { value, low95, high95 } = friction.mean_N!;
    expect((high95 - low95) / value).toBeGreaterThan(0.05);
  });
});

describe('a shaft held still for minutes', () => {
  it('rests all the while, wherever chance breaks the rest in two', () => {
    const random = randomFrom(5);
    const step_m = 15e-6;
    const rate_Hz = 320;
    const [from_s, to_s] = [5, 125];
    const time_s = Float64Array.from({ length: 130 * rate_Hz }, (_, i) => i / rate_Hz);
    const position_m = time_s.map((t) => {
      const moved_m = t < from_s ? 4e-3 * t : t > to_s ? 4e-3 * (from_s + to_s - t) : 4e-3 * from_s;
      return step_m * Math.round((moved_m + 6e-6 * random.normal()) / step_m);
    });
    const rests = findRests(time_s, position_m, 6e-6, 2.5e-4);
    const rested_s = rests.reduce((sum, rest) => sum + rest.to_s - rest.from_s, 0);
    expect(rested_s).toBeGreaterThan(0.9 * (to_s - from_s));
    rests.slice(1).forEach((rest, k) => {
      expect(rest.from_s).toBeGreaterThan(rests[k].to_s);
    });
  });
});
