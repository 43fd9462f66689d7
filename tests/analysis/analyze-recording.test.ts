import { describe, expect, it } from 'vitest';
import {
  analyzeRecording,
  type Estimate,
  makeTrace,
  type RecordingAnalysis,
  type Trace,
} from '../../analysis/index.js';
import { type Played, playLadder, playSlowSweep } from './played/recording.js';

function analysed(trace: Trace): RecordingAnalysis {
  const outcome = analyzeRecording(trace);
  if (!outcome.ok) throw new Error(`${outcome.refusal.code}: ${outcome.refusal.found}`);
  return outcome.analysis;
}

const meanDrag = ({ shock }: Played) => 0.5 * (shock.dragCompression_N + shock.dragRebound_N);
const relative = (estimate: Estimate | null, truth: number) => Math.abs(estimate!.value / truth - 1);

describe('a ladder of crank speeds', () => {
  const played = [1, 2, 3, 4].map((seed) => playLadder(seed, { rate_Hz: 400 }));
  const results = played.map(({ trace }) => analysed(trace));

  it('gives mean drag within 1 %, each direction within 2.5 %', () => {
    results.forEach(({ friction }, i) => {
      expect(relative(friction.mean_N, meanDrag(played[i]))).toBeLessThan(0.01);
      expect(relative(friction.compression_N, played[i].shock.dragCompression_N)).toBeLessThan(0.025);
      expect(relative(friction.rebound_N, played[i].shock.dragRebound_N)).toBeLessThan(0.025);
    });
  });

  it('gives breakaway within 4 % and the damping curve within 1 % above 40 mm/s', () => {
    results.forEach(({ friction, damping }, i) => {
      const { shock } = played[i];
      expect(relative(friction.breakaway_N, meanDrag(played[i]) * shock.breakawayRatio)).toBeLessThan(0.04);
      for (const { velocity_m_per_s: v, force_N } of damping.curve) {
        if (Math.abs(v) < 0.04) continue;
        const { linear, quadratic } = v > 0 ? shock.compression : shock.rebound;
        expect(Math.abs(force_N / (linear * v + quadratic * v * Math.abs(v)) - 1)).toBeLessThan(0.01);
      }
    });
  });

  it('knows itself for a speed ladder and reports the same numbers twice', () => {
    expect(results.map(({ procedure }) => procedure)).toEqual(Array(4).fill('speed-ladder'));
    expect(analysed(played[0].trace)).toEqual(results[0]);
  });

  it('gives intervals that are neither empty nor useless', () => {
    for (const { friction } of results) {
      const { value, low95, high95, standardError } = friction.mean_N!;
      expect(low95).toBeLessThan(value);
      expect(high95).toBeGreaterThan(value);
      expect(standardError).toBeGreaterThan(0);
      expect((high95 - low95) / 2 / value).toBeLessThan(0.03);
    }
  });
});

describe('a slow averaging converter', () => {
  it.each([
    ['sinc3', 11],
    ['sinc4', 12],
  ] as const)('%s at 80 samples/s is recognised and drag still comes within 1 %%', (kernel, seed) => {
    const played = playLadder(seed, { rate_Hz: 80, kernel });
    const { rig, friction } = analysed(played.trace);
    expect(rig.kernel).toBe(kernel);
    expect(relative(friction.mean_N, meanDrag(played))).toBeLessThan(0.01);
  });

  it('set to 10 samples/s is answered with that, not with a motion that tells too little', () => {
    const { findings } = analysed(playLadder(12, { rate_Hz: 10, kernel: 'sinc3' }).trace);
    expect(findings.map(({ code }) => code)).toContain('too-slow-sampling');
  });

  it('is taken at its word when the rig declares it', () => {
    const { trace } = playLadder(13, { rate_Hz: 80, kernel: 'sinc4' });
    const declared: Trace = { ...trace, rig: { ...trace.rig, kernel: 'sinc4', conversionPeriod_s: 1 / 80 } };
    const { rig, findings } = analysed(declared);
    expect(rig.kernel).toBe('sinc4');
    expect(findings.map(({ code }) => code)).not.toContain('kernel-chosen');
  });
});

describe('a slow sweep', () => {
  it('gives mean drag within 8 % though the shock starts with friction nobody measured', () => {
    for (const seed of [2, 5]) {
      const played = playSlowSweep(seed);
      const { friction, procedure } = analysed(played.trace);
      expect(procedure).toBe('slow-sweep');
      expect(relative(friction.mean_N, meanDrag(played))).toBeLessThan(0.08);
    }
  });
});

describe('a recording that cannot tell drag from damping', () => {
  it('at one speed reports total friction, and damping as not identified', () => {
    const { trace } = playLadder(5, { rate_Hz: 320 });
    const until = trace.force.time_s.findIndex((t) => t > 12);
    const one = makeTrace({
      force: { time_s: trace.force.time_s.slice(0, until), force_N: trace.force.force_N.slice(0, until) },
      position: {
        time_s: trace.position.time_s.slice(0, until),
        position_m: trace.position.position_m.slice(0, until),
      },
    });
    const result = analysed((one as { trace: Trace }).trace);
    expect(result.damping.compression.linear_Ns_per_m).toBeNull();
    expect(result.damping.curve).toEqual([]);
    expect(result.notIdentified).toContain('damping.rebound.linear_Ns_per_m');
    expect(result.friction.mean_N!.value).toBeGreaterThan(0);
  });
});

describe('what cannot be analysed is refused with what was found', () => {
  const times = Float64Array.from({ length: 2000 }, (_, i) => i / 320);
  const wave = times.map((t) => 0.01 * Math.sin(2 * Math.PI * t));
  const refusal = (force_N: Float64Array, position_m: Float64Array, time_s = times) => {
    const made = makeTrace({ force: { time_s, force_N }, position: { time_s, position_m } });
    if (!made.ok) return made.refusal.code;
    const outcome = analyzeRecording(made.trace);
    return outcome.ok ? 'analysed' : outcome.refusal.code;
  };

  it.each([
    ['no samples', new Float64Array(0), new Float64Array(0), new Float64Array(0), 'no-force'],
    ['three samples', wave.slice(0, 3), wave.slice(0, 3), times.slice(0, 3), 'too-short'],
    ['a shock that never moves', wave, new Float64Array(2000), times, 'no-motion'],
    ['a force that never changes', new Float64Array(2000).fill(3), wave, times, 'constant-force'],
    ['a number that is none', wave.map((f, i) => (i === 700 ? Number.NaN : f)), wave, times, 'not-finite'],
    ['time going backwards', wave, wave, times.map((t, i) => (i === 900 ? 0 : t)), 'time-not-increasing'],
  ])('%s', (_, force_N, position_m, time_s, code) => {
    expect(refusal(force_N, position_m, time_s)).toBe(code);
  });
});

describe('findings', () => {
  it('say that force is upside down, and leave it as it is', () => {
    const { trace } = playLadder(2, { rate_Hz: 320 });
    const flipped: Trace = {
      ...trace,
      force: { ...trace.force, force_N: trace.force.force_N.map((f) => -f) },
    };
    const { findings, friction } = analysed(flipped);
    expect(findings.map(({ code }) => code)).toContain('sign-reversed');
    expect(friction.mean_N!.value).toBeLessThan(0);
  });

  it('count missing conversions and say when the cell ran into its limit', () => {
    const { trace } = playLadder(6, { rate_Hz: 320 });
    const kept = (values: Float64Array) => values.filter((_, i) => i % 997 !== 500);
    const limit = 0.8 * Math.max(...trace.force.force_N);
    const made = makeTrace({
      force: {
        time_s: kept(trace.force.time_s),
        force_N: kept(trace.force.force_N).map((f) => Math.min(f, limit)),
      },
      position: trace.position,
    });
    const { findings } = analysed((made as { trace: Trace }).trace);
    const lost = Math.floor((trace.force.time_s.length - 501) / 997) + 1;
    expect(findings.find(({ code }) => code === 'samples-missing')?.values.samples).toBe(lost);
    expect(findings.map(({ code }) => code)).toContain('force-saturated');
  });

  it('ask for more cycles when there are few', () => {
    const { trace } = playLadder(7, { rate_Hz: 320 });
    // Six turns at the ladder's last speed.
    const [from, until] = [36, 38.2].map((end_s) => trace.force.time_s.findIndex((t) => t > end_s));
    const cut = (values: Float64Array) => values.slice(from, until);
    const made = makeTrace({
      force: { time_s: cut(trace.force.time_s), force_N: cut(trace.force.force_N) },
      position: { time_s: cut(trace.position.time_s), position_m: cut(trace.position.position_m) },
    });
    expect(analysed((made as { trace: Trace }).trace).findings.map(({ code }) => code)).toContain(
      'too-few-cycles',
    );
  });
});
