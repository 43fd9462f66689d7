import { describe, expect, it } from 'vitest';
import {
  analyzeRecording,
  dampingCurve,
  type ForceCurve,
  planHoles,
  twoTerms,
} from '../../../analysis/index.js';
import { oil } from '../oil/bottle.js';
import { randomFrom } from '../played/random.js';
import { playLadder } from '../played/recording.js';
import { drawPiston, measurableSpeed_m_per_s, measuredCurve, type OutsidePiston } from './outside-flow.js';

/** A ladder recorded on a shock with that piston, analysed. */
function recorded(piston: OutsidePiston, seed: number): ForceCurve {
  const law = measuredCurve(piston, {
    fastest_m_per_s: measurableSpeed_m_per_s(piston),
    temperature_degC: null,
    noise: 0,
    random: randomFrom(1),
  });
  const side = (direction: 'compression' | 'rebound') => {
    const { linear_Ns_per_m, quadratic_Ns2_per_m2 } = twoTerms(law, direction)!;
    return { linear: linear_Ns_per_m, quadratic: quadratic_Ns2_per_m2 };
  };
  const { trace } = playLadder(seed, {
    change: (shock) => ({ ...shock, compression: side('compression'), rebound: side('rebound') }),
  });
  const outcome = analyzeRecording(trace);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return dampingCurve(outcome.analysis)!;
}

describe('from recordings to the hole', () => {
  it('the whole way stays within 0.01 mm', () => {
    const random = randomFrom(9);
    const blank = drawPiston(random);
    const factor = random.uniform(1.05, 1.15);
    const holes = blank.holes.map(({ count, diameter_m }) => ({ count, diameter_m: diameter_m * factor }));
    const outcome = planHoles(
      recorded(blank, 49),
      recorded({ ...blank, holes }, 69),
      { ...blank, gap_m: null, countersunk_m: 0 },
      { present: oil('bottle', blank.viscosity_m2_per_s * 1e6) },
    );
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    const { hole_mm } = outcome.plan;
    const truth_mm = 1e3 * holes[0]!.diameter_m;
    expect(Math.abs(hole_mm.value - truth_mm)).toBeLessThan(0.01);
    expect(hole_mm.low95).toBeLessThan(truth_mm);
    expect(hole_mm.high95).toBeGreaterThan(truth_mm);
  });
});
