import { describe, expect, it } from 'vitest';
import { calibrateForce, estimateOf, type SpringCheck } from '../../analysis/index.js';
import { axisOver } from '../../dashboard/web/care/axis.js';
import { evidenceOf } from '../../dashboard/web/care/evidence.js';
import { fitOf } from '../../dashboard/web/care/fit-of.js';

describe('the picture of a calibration', () => {
  it('has every reading, and how far the calibration misses it', () => {
    const readings = [0, 1, 2, 4, 6, 8, 6, 4, 2, 1, 0].map((value, i) => ({
      series: 1,
      value,
      direction: i <= 5 ? ('up' as const) : ('down' as const),
      // One reading is 50 counts, a hundredth of a newton, too high.
      reading_counts: 1000 + 5000 * value + (i === 3 ? 50 : 0),
    }));
    const outcome = calibrateForce(readings, 1e-3);
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    const evidence = evidenceOf({ part: 'force', evidence: { calibration: outcome.calibration } })!;
    const { points, offUnit, band } = fitOf(evidence)!;
    expect(points).toHaveLength(9);
    const worst = points.reduce((a, b) => (Math.abs(b.off) > Math.abs(a.off) ? b : a));
    expect(worst).toMatchObject({ x: 4, y: 21.05, way: 'up' });
    expect(worst.off).toBeGreaterThan(7);
    expect(worst.off).toBeLessThan(10);
    expect([offUnit, band! > 0]).toEqual(['mN', true]);
  });

  it('of a lag misses nothing where every cycle is as a late spring makes it', () => {
    const [rate, mass, friction_N, lag_s, amplitude_m] = [870, 0.013, 0.05, 6e-3, 0.012];
    const responses = [0.4, 1.1, 2.4, 3.1].map((speed) => {
      const omega = 2 * Math.PI * speed;
      const [k, f] = [rate - mass * omega ** 2, (4 * friction_N) / (Math.PI * amplitude_m)];
      // The force as it is, turned back by the lag: Euler's formula on k + i·f.
      const [c, s] = [Math.cos(omega * lag_s), Math.sin(omega * lag_s)];
      return {
        angularFrequency_rad_per_s: omega,
        amplitude_m,
        inPhase_N_per_m: k * c + f * s,
        ahead_N_per_m: f * c - k * s,
      };
    });
    const exactly = (value: number) => estimateOf(value, 0);
    const check: SpringCheck = {
      lag_s: exactly(lag_s),
      springRate_N_per_m: exactly(rate),
      movingMass_kg: exactly(mass),
      friction_N: exactly(friction_N),
      responses,
      cycles: 4,
      speeds_rev_per_s: [0.4, 3.1],
    };
    const { points } = fitOf({ kind: 'lag', check })!;
    for (const { off } of points) expect(Math.abs(off)).toBeLessThan(1e-9);
    expect(points.map(({ y }) => y)).toEqual(points.map(({ y }) => y).toSorted((a, b) => b - a));
    // A tenth of a millisecond more, and the fastest cycle is 20 mN off: k·X·ω·0.1 ms.
    const off = fitOf({ kind: 'lag', check: { ...check, lag_s: exactly(lag_s + 1e-4) } })!.points[3]!.off;
    expect(off).toBeCloseTo(
      1e3 * (rate - mass * (2 * Math.PI * 3.1) ** 2) * amplitude_m * 2 * Math.PI * 3.1 * 1e-4,
      0,
    );
  });

  it('is left out where nobody kept the readings', () => {
    expect(evidenceOf({ part: 'force', evidence: null })).toBeNull();
    const { responses: _, ...earlier } = {} as SpringCheck;
    expect(fitOf({ kind: 'lag', check: earlier as SpringCheck })).toBeNull();
  });
});

describe('an axis', () => {
  it('holds its values and has round ticks', () => {
    const { ticks, decimals, at } = axisOver([0.6379, 0.6421], 100, 0);
    expect(ticks.map((tick) => tick.toFixed(decimals))).toEqual(['0.638', '0.640', '0.642']);
    expect(at(0.6379)).toBeGreaterThan(at(0.6421));
    expect(axisOver([3, 3], 0, 10).at(3)).toBeCloseTo(5, 12);
  });
});
