import { describe, expect, it } from 'vitest';
import { followSealInto, type SealShape, sealTrack } from '../../analysis/identification/seal-memory.js';

const shape: SealShape = {
  presliding_m: 0.08e-3,
  breakawayExcess: 0.4,
  stribeckSpeed_m_per_s: 4e-3,
  startState: 0.3,
};
const step_s = 1e-3;
const position_m = Float64Array.from(
  { length: 3000 },
  (_, k) => 1e-3 * (1 - Math.cos(2 * Math.PI * k * step_s)),
);
const velocity_m_per_s = Float64Array.from(
  { length: 3000 },
  (_, k) => 2 * Math.PI * 1e-3 * Math.sin(2 * Math.PI * k * step_s),
);

const follow = (given: SealShape, x = position_m, v = velocity_m_per_s) => {
  const track = sealTrack(x.length);
  followSealInto(track, x, v, given);
  return track;
};

describe('the seal follows its path', () => {
  it('starts from the state it is given and forgets it over the presliding travel', () => {
    const { state, byStart } = follow(shape);
    expect(state[0]).toBe(0.3);
    expect(byStart[0]).toBe(1);
    expect(byStart[400]).toBeLessThan(1e-6);
  });

  it('holds its friction while the shaft rests', () => {
    const held = Float64Array.from(position_m, (x, k) => (k > 250 ? position_m[250] : x));
    const still = Float64Array.from(velocity_m_per_s, (v, k) => (k > 250 ? 0 : v));
    const { state } = follow(shape, held, still);
    expect(state[2999]).toBe(state[250]);
    expect(state[250]).toBeGreaterThan(0.9);
  });

  it('slides at one far above the Stribeck speed and breaks away higher when slow', () => {
    const fast = follow(
      shape,
      position_m.map((x) => 40 * x),
      velocity_m_per_s.map((v) => 40 * v),
    );
    expect(fast.state[250]).toBeCloseTo(1, 9);
    const slow = follow(
      shape,
      position_m,
      velocity_m_per_s.map((v) => v / 100),
    );
    expect(slow.state[250]).toBeCloseTo(1.4, 2);
  });

  it('has sensitivities equal to finite differences, everywhere along the path', () => {
    const base = follow(shape);
    const cases = [
      [base.byPresliding, (h: number) => ({ ...shape, presliding_m: shape.presliding_m * Math.exp(h) })],
      [base.byExcess, (h: number) => ({ ...shape, breakawayExcess: shape.breakawayExcess + h })],
      [
        base.byStribeckSpeed,
        (h: number) => ({ ...shape, stribeckSpeed_m_per_s: shape.stribeckSpeed_m_per_s * Math.exp(h) }),
      ],
      [base.byStart, (h: number) => ({ ...shape, startState: shape.startState + h })],
    ] as const;
    for (const [sensitivity, moved] of cases) {
      const h = 1e-5;
      const plus = follow(moved(h)).state;
      const minus = follow(moved(-h)).state;
      for (let k = 0; k < position_m.length; k++)
        expect(Math.abs((plus[k] - minus[k]) / (2 * h) - sensitivity[k])).toBeLessThan(2e-5);
    }
  });
});
