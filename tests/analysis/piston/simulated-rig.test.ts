import { describe, expect, it } from 'vitest';
import { type ForceCurve, planHoles, typedCurve, viscosityRatio } from '../../../analysis/index.js';
import { type SimulatedBuildName, simulatedRig } from '../../../daq/simulated-rig/index.js';
import { oil } from '../oil/bottle.js';

/** Damping as the simulated rig plays it: its physics were written apart from analysis/, with seal effects mixed in. */
function playedCurve(build: SimulatedBuildName, oil_degC = 25): ForceCurve {
  const { damping_N } = simulatedRig({ seed: 5, build, pace: 'simulated' }).truth();
  const speeds = [0.02, 0.04, 0.06, 0.08, 0.1, 0.12, 0.14, 0.16, 0.18, 0.2, 0.22];
  const outcome = typedCurve(
    [...speeds.map((v) => -v), ...speeds].map((v) => ({
      velocity_m_per_s: v,
      force_N: damping_N(v, oil_degC),
    })),
    { temperature_degC: oil_degC },
  );
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.curve;
}

describe('on the physics of the simulated rig', () => {
  it('the drilled piston’s hole of 1.6 mm is found from the stock one’s curve', () => {
    const piston = {
      bore_m: 12.7e-3,
      shaft_m: 3.5e-3,
      thickness_m: 2.5e-3,
      holes: [{ count: 4, diameter_m: 1.5e-3 }],
      gap_m: null,
      countersunk_m: 0,
    };
    const outcome = planHoles(playedCurve('stock-piston'), playedCurve('drilled-piston'), piston, {
      present: oil('bottle', 350),
    });
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    expect(Math.abs(outcome.plan.hole_mm.value - 1.6)).toBeLessThan(0.01);
  });

  it('the ratio of two oils is found within a hundredth, warm against cold too', () => {
    for (const [build, wanted] of [
      ['oil-300', 300 / 400],
      ['oil-500', 500 / 400],
    ] as const)
      for (const warm of [25, 32]) {
        const outcome = viscosityRatio(playedCurve('oil-400'), playedCurve(build, warm));
        if (!outcome.ok) throw new Error(outcome.refusal.found);
        expect(Math.abs(outcome.found.ratio.value / wanted - 1)).toBeLessThan(0.01);
      }
  });
});
