import { describe, expect, it } from 'vitest';
import {
  type CurvePoint,
  compareBuilds,
  curveAt,
  curvePointOf,
  estimateOf,
  type RecordingAnalysis,
  remountMeans,
} from '../../analysis/index.js';

const measured = (...values: number[]) => values.map((value) => ({ value, standardError: 0.001 }));

describe('means over remounts of builds shown together', () => {
  it('equal what the comparison of the same two builds says of each', () => {
    const [before, after] = [measured(1.4, 1.46, 1.43), measured(1.02, 1.05)];
    const side = (values: typeof before) => values.map(withDrag);
    const [drag] = compareBuilds(side(before), side(after)).differences;
    expect(remountMeans([before, after])).toEqual([drag!.before, drag!.after]);
  });

  it('never claim less than the recordings themselves leave open', () => {
    const same = [1, 1, 1].map((value) => ({ value, standardError: 0.3 }));
    expect(remountMeans([same])[0]!.standardError).toBeCloseTo(0.3 / Math.sqrt(3), 12);
  });
});

describe('curves', () => {
  const line: CurvePoint[] = [-0.2, -0.1, 0.1, 0.2].map((v) =>
    curvePointOf(v, estimateOf(30 * v + Math.sign(v), 0.1 / 1.96)),
  );

  it('are read between their points, but not across zero speed nor beyond their ends', () => {
    expect(curveAt(line, 0.15)!.value).toBeCloseTo(5.5, 12);
    expect(curveAt(line, -0.2)!.value).toBeCloseTo(-7, 12);
    expect(curveAt(line, 0.1)!.value).toBeCloseTo(4, 12);
    expect(curveAt(line, 0)).toBeNull();
    expect(curveAt(line, 0.21)).toBeNull();
    expect(curveAt(line, -0.21)).toBeNull();
  });
});

function withDrag({ value, standardError }: { value: number; standardError: number }): RecordingAnalysis {
  const none = { linear_Ns_per_m: null, quadratic_Ns2_per_m2: null };
  return {
    samples: 1,
    cycles: 9,
    procedure: 'unknown',
    friction: {
      mean_N: { value, standardError, low95: value, high95: value },
      compression_N: null,
      rebound_N: null,
      breakaway_N: null,
    },
    damping: { compression: none, rebound: none, curve: [] },
    gas: { offset_N: null, rate_N_per_mm: null },
    rig: { lag_ms: null, kernel: 'none', movingMass_kg: null },
    temperature_degC: null,
    residual_N: 0,
    notIdentified: [],
    findings: [],
  };
}
