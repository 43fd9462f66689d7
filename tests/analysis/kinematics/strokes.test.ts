import { describe, expect, it } from 'vitest';
import { findStrokes, type StrokePattern, strokePattern } from '../../../analysis/kinematics/strokes.js';
import { randomFrom } from '../played/random.js';

const radius_m = 0.015;

function times(rate_Hz: number, duration_s: number): Float64Array {
  return Float64Array.from({ length: Math.round(rate_Hz * duration_s) }, (_, i) => i / rate_Hz);
}

/** Crank at a frequency that may change with time, from full extension. */
function cranked(
  time_s: Float64Array,
  frequency_Hz: (t: number) => number,
  noise_m: number,
  seed = 1,
): Float64Array {
  const { normal } = randomFrom(seed);
  let phase = 0;
  return time_s.map((t, i) => {
    if (i > 0) phase += 2 * Math.PI * frequency_Hz(t) * (t - time_s[i - 1]);
    return radius_m * (1 - Math.cos(phase)) + noise_m * normal();
  });
}

/** Strokes and cycles where nothing is known of the speeds. */
function patternOf(time_s: Float64Array, position_m: Float64Array): StrokePattern {
  const { turns, strokes } = findStrokes(time_s, position_m);
  const none = new Float64Array(0);
  return strokePattern(turns, strokes, { time_s: none, velocity_m_per_s: none, velocityError_m_per_s: none });
}

function expectTiled({ strokes }: StrokePattern): void {
  strokes.forEach((stroke, k) => {
    expect(stroke.end).toBeGreaterThan(stroke.start);
    if (k === 0) return;
    expect(stroke.start).toBe(strokes[k - 1].end);
    expect(stroke.start_s).toBe(strokes[k - 1].end_s);
    expect(stroke.direction).not.toBe(strokes[k - 1].direction);
  });
}

describe('strokes of a steady crank', () => {
  it.each([
    ['clean', 0, 5e-5],
    ['with a twentieth of a millimetre of noise', 5e-5, 3e-3],
  ])('are found to a fraction of a sample interval, %s', (_, noise_m, tolerance_s) => {
    const time_s = times(1000, 5.13);
    const pattern = patternOf(
      time_s,
      cranked(time_s, () => 2, noise_m),
    );
    expectTiled(pattern);
    expect(pattern.cycles).toHaveLength(10);
    pattern.turns.slice(1, -1).forEach((turn, k) => {
      expect(turn.kind).toBe('reversal');
      expect(Math.abs(turn.time_s - 0.25 * (k + 1))).toBeLessThan(tolerance_s);
    });
    for (const cycle of pattern.cycles) {
      expect(Math.abs(cycle.period_s - 0.5)).toBeLessThan(2 * tolerance_s);
      expect(Math.abs(cycle.stroke_m / (2 * radius_m) - 1)).toBeLessThan(0.01);
    }
  });

  it('are told apart from those that the record cuts off', () => {
    const time_s = times(500, 1.78);
    const shifted = time_s.map((t) => radius_m * Math.sin(4 * Math.PI * t + 0.4));
    const { turns, strokes, cycles } = patternOf(time_s, shifted);
    expect(turns[0].kind).toBe('cut');
    expect(turns.at(-1)!.kind).toBe('cut');
    expect(strokes[0].complete).toBe(false);
    expect(strokes.at(-1)!.complete).toBe(false);
    expect(strokes.slice(1, -1).every(({ complete }) => complete)).toBe(true);
    for (const { compression, rebound } of cycles) {
      expect(compression.direction).toBe('compression');
      expect(rebound.start).toBe(compression.end);
    }
  });

  it('turn where they turn, though few and unevenly spaced samples lie about it', () => {
    // Parabolas that join into strokes, turning at every whole second; steps of 120 and 150 ms in turn.
    const time_s = Float64Array.from({ length: 80 }, (_, i) => 0.27 * (i >> 1) + 0.12 * (i & 1));
    const position_m = time_s.map((t) => (Math.round(t) % 2 ? 1 : -1) * (0.25 - (t - Math.round(t)) ** 2));
    const inner = findStrokes(time_s, position_m, 0.05).turns.slice(1, -1);
    expect(inner.length).toBeGreaterThan(8);
    for (const { time_s: at_s } of inner) expect(Math.abs(at_s - Math.round(at_s))).toBeLessThan(1e-9);
  });

  it('survive ten samples a cycle', () => {
    const time_s = times(80, 3);
    const { cycles } = patternOf(
      time_s,
      cranked(time_s, () => 8.1, 2e-5),
    );
    expect(cycles.length).toBeGreaterThanOrEqual(22);
    for (const { period_s } of cycles) expect(Math.abs(period_s * 8.1 - 1)).toBeLessThan(0.01);
  });

  it('survive a coarse converter', () => {
    const time_s = times(1000, 3);
    const lsb_m = 5.9e-5;
    const counts = cranked(time_s, () => 2, 2e-5).map((x) => lsb_m * Math.round(x / lsb_m));
    const { cycles } = patternOf(time_s, counts);
    expect(cycles.length).toBeGreaterThanOrEqual(5);
    for (const { period_s } of cycles) expect(Math.abs(period_s - 0.5)).toBeLessThan(0.004);
  });

  it('are not broken by single wild samples', () => {
    const time_s = times(900, 6.2);
    const x = cranked(time_s, () => 2, 1e-6);
    const spiked = x.map((value, i) => (i % 777 === 5 ? 0.08 : value));
    const clean = patternOf(time_s, x);
    const found = patternOf(time_s, spiked);
    expect(found.strokes).toHaveLength(clean.strokes.length);
    found.cycles.forEach((cycle, k) => {
      expect(Math.abs(cycle.period_s - clean.cycles[k].period_s)).toBeLessThan(0.002);
    });
  });
});

describe('irregular motion', () => {
  it('by hand keeps its strokes', () => {
    const time_s = times(900, 20);
    const frequency = (t: number): number => 0.9 + 0.25 * Math.sin(1.3 * t) + 0.15 * Math.sin(3.1 * t);
    const pattern = patternOf(time_s, cranked(time_s, frequency, 3e-5));
    expectTiled(pattern);
    let phase = 0;
    for (let i = 1; i < time_s.length; i++) phase += frequency(time_s[i]) * (time_s[i] - time_s[i - 1]);
    expect(pattern.strokes).toHaveLength(Math.ceil(2 * phase));
  });

  it('with dwells at both ends reports them and keeps the strokes', () => {
    const { normal } = randomFrom(6);
    const time_s = times(900, 12);
    const x = time_s.map((t) => {
      const s = t % 3;
      const ramp = s < 0.5 ? 0 : s < 1.5 ? s - 0.5 : s < 2 ? 1 : 3 - s;
      return 0.02 * ramp + 3e-5 * normal();
    });
    const pattern = patternOf(time_s, x);
    expect(pattern.strokes).toHaveLength(8);
    expect(pattern.turns[0].kind).toBe('rest');
    pattern.turns.slice(1, -1).forEach((turn, k) => {
      expect(Math.abs(turn.time_s - [1.75, 3.25][k % 2] - 3 * Math.floor(k / 2))).toBeLessThan(0.02);
      expect(turn.dwell_s).toBeGreaterThan(0.25);
    });
  });

  it('with a pause in mid-stroke still makes one stroke', () => {
    const { normal } = randomFrom(7);
    const time_s = times(500, 4);
    const x = time_s.map((t) => 0.01 * Math.min(t, Math.max(1, t - 0.8)) * (t < 3 ? 1 : 0) + 2e-5 * normal());
    const { strokes } = findStrokes(
      time_s.filter((t) => t < 2.9),
      x.filter((_, i) => time_s[i] < 2.9),
    );
    expect(strokes.map(({ direction }) => direction)).toEqual(['compression']);
  });

  it('that dies away is followed down to the hysteresis', () => {
    const { normal } = randomFrom(8);
    const time_s = times(900, 12);
    const x = time_s.map((t) => radius_m * Math.exp(-t / 3) * Math.cos(2 * Math.PI * t) + 1e-5 * normal());
    const { strokes, hysteresis_m } = findStrokes(time_s, x);
    expect(strokes.length).toBeGreaterThanOrEqual(23);
    strokes.forEach((stroke, k) => {
      expect(stroke.amplitude_m).toBeGreaterThan(hysteresis_m);
      if (k > 0) expect(stroke.amplitude_m).toBeLessThan(strokes[k - 1].amplitude_m + 1e-4);
    });
  });
});

describe('records without strokes', () => {
  it('give none: at rest, in noise, constant, or empty', () => {
    const time_s = times(900, 20);
    const { normal } = randomFrom(9);
    for (const x of [time_s.map(() => 5e-5 * normal()), time_s.map(() => 0.2)]) {
      const { strokes, cycles } = patternOf(time_s, x);
      expect(strokes).toEqual([]);
      expect(cycles).toEqual([]);
    }
    expect(findStrokes(new Float64Array(0), new Float64Array(0)).strokes).toEqual([]);
    expect(findStrokes(Float64Array.of(0, 1), Float64Array.of(0, 0)).strokes).toEqual([]);
  });

  it('refuse unequal lengths', () => {
    expect(() => findStrokes(Float64Array.of(0, 1), Float64Array.of(0))).toThrow(RangeError);
  });
});

describe('noise of the position', () => {
  it('is estimated from the record itself, moving or not', () => {
    const time_s = times(900, 10);
    for (const noise_m of [3e-6, 5e-5]) {
      const { noise_m: found } = findStrokes(
        time_s,
        cranked(time_s, () => 3.3, noise_m),
      );
      expect(Math.abs(found / noise_m - 1)).toBeLessThan(0.1);
    }
  });
});

describe('the peak speed of a stroke', () => {
  const time_s = times(100, 1);
  const turn = (index: number, position_m: number) =>
    ({ index, time_s: time_s[index], position_m, kind: 'reversal', dwell_s: 0 }) as const;
  const { strokes } = findStrokes(
    time_s,
    time_s.map((t) => 0.01 * (1 - Math.cos(4 * Math.PI * t))),
  );
  const peaks = (at_s: number[], velocity: number[], error: number[]) =>
    strokePattern([turn(0, 0)], strokes, {
      time_s: Float64Array.from(at_s),
      velocity_m_per_s: Float64Array.from(velocity),
      velocityError_m_per_s: Float64Array.from(error),
    }).strokes.map((stroke) => stroke.peakSpeed_m_per_s);

  it('is the one that is surely the fastest in it', () => {
    expect(strokes).toHaveLength(4);
    const [first, second] = peaks([0.1, 0.12, 0.14, 0.4], [0.11, 0.12, 0.3, -0.13], [1e-3, 1e-3, 0.2, 1e-3]);
    expect([first, second]).toEqual([0.12, 0.13]);
  });

  it('is the mean speed where no velocity was measured', () => {
    const [first, second] = peaks([0.1, 0.4], [0.3, -0.2], [0, Number.POSITIVE_INFINITY]);
    for (const speed of [first, second]) expect(Math.abs(speed / 0.08 - 1)).toBeLessThan(0.05);
  });
});
