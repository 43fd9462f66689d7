import { describe, expect, it } from 'vitest';
import { analyzeRecording, makeTrace, recordedPull, type Trace } from '../../analysis/index.js';
import { randomFrom } from './played/random.js';
import { playLadder } from './played/recording.js';
import { playPull } from './spring/played-pull.js';

const lag = { value_s: 6e-3, standardUncertainty_s: 2e-6 };
const knowing = (trace: Trace, known: typeof lag | null): Trace => ({
  ...trace,
  rig: { ...trace.rig, kernel: 'none', lag: known },
});
const firstOf = ({ force, position, ...others }: Trace, n: number): Trace => ({
  ...others,
  force: { time_s: force.time_s.subarray(0, n), force_N: force.force_N.subarray(0, n) },
  position: { time_s: position.time_s.subarray(0, n), position_m: position.position_m.subarray(0, n) },
});
const later = (trace: Trace, by_s: number): Trace => ({
  ...trace,
  force: { ...trace.force, time_s: trace.force.time_s.map((t) => t + by_s) },
});

describe('a lag that is known of the rig', () => {
  it('is taken off the force before anything is fitted, and stands in the answer', () => {
    const { trace: whole } = playLadder(2, { rate_Hz: 320 });
    const trace = firstOf(whole, 18 * 320);
    const analysed = (of: Trace) => {
      const outcome = analyzeRecording(of);
      if (!outcome.ok) throw new Error(outcome.refusal.found);
      return outcome.analysis;
    };
    const prompt = analysed(knowing(trace, null));
    const known = analysed(knowing(later(trace, lag.value_s), lag));
    expect(known.friction.mean_N!.value / prompt.friction.mean_N!.value).toBeCloseTo(1, 6);
    expect(known.rig.lag_ms).toMatchObject({ value: 6, standardError: 2e-3 });
    expect(prompt.rig.lag_ms).toBeNull();
  });

  it('is not taken off beside the delay of a converter that nobody declared, which it holds as well', () => {
    const { trace } = playLadder(2, { rate_Hz: 80, kernel: 'sinc4' });
    const found = (known: typeof lag | null) => {
      const outcome = analyzeRecording({ ...trace, rig: { ...trace.rig, lag: known } });
      if (!outcome.ok) throw new Error(outcome.refusal.found);
      return outcome.analysis;
    };
    // Four conversions of 12.5 ms delay by 25 ms, which a spring check cannot tell from a lag.
    const known = found({ value_s: 25e-3 + lag.value_s, standardUncertainty_s: lag.standardUncertainty_s });
    expect(known).toEqual(found(null));
    expect(known.rig.kernel).toBe('sinc4');
  });
});

describe('friction in a pull whose force came late', () => {
  /** 12 mm/s on 2 N/mm and 6 ms: 0.14 N of 0.45 N. */
  const pulled = (known: typeof lag | null, kernel: 'none' | null = 'none') => {
    const { position_m, force_N } = playPull(
      {
        rate_N_per_m: 2000,
        preload_N: 1.1,
        friction_N: 0.45,
        presliding_m: 0.08e-3,
        noise_N: 0.006,
        travel_m: 0.024,
        strokes: 6,
        samplesPerStroke: 400,
      },
      randomFrom(1),
    );
    const time_s = position_m.map((_, i) => i / 200);
    const made = makeTrace({
      position: { time_s, position_m },
      force: { time_s: time_s.map((t) => t + lag.value_s), force_N },
      rig: { kernel, lag: known },
    });
    const outcome = made.ok ? recordedPull(made.trace) : made;
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    return outcome.pull;
  };

  it('is as it was played where the lag is known, and has an interval that allows for it where it is not', () => {
    const known = pulled(lag).friction_N!;
    expect(known.value).toBeCloseTo(0.45, 2);
    expect(known.high95 - known.low95).toBeLessThan(0.02);
    // A converter that nobody declared has its delay in the lag that was found.
    expect(pulled(lag, null).friction_N).toEqual(known);
    const unknown = pulled(null).friction_N!;
    expect(unknown.value).toBeCloseTo(0.45 - 2000 * 0.012 * lag.value_s, 2);
    expect(unknown.low95).toBeLessThan(0.45);
    expect(unknown.high95).toBeGreaterThan(0.45);
  });

  it('leaves rate and preload as they are', () => {
    const [known, unknown] = [pulled(lag), pulled(null)];
    expect(unknown.rate_N_per_m.value / known.rate_N_per_m.value).toBeCloseTo(1, 3);
    expect(unknown.preload_N!.value).toBeCloseTo(known.preload_N!.value, 1);
  });
});
