import { estimateOf, type RecordingAnalysis } from '../../../analysis/index.js';

/** An analysis that knows nothing but its drag. */
export function remountOf(drag_N: number, standardError_N = 0.004): RecordingAnalysis {
  const side = { linear_Ns_per_m: null, quadratic_Ns2_per_m2: null };
  return {
    samples: 1000,
    cycles: 20,
    procedure: 'speed-ladder',
    friction: {
      mean_N: estimateOf(drag_N, standardError_N),
      compression_N: null,
      rebound_N: null,
      breakaway_N: null,
    },
    damping: { compression: side, rebound: side, curve: [] },
    gas: { offset_N: null, rate_N_per_mm: null },
    rig: { lag_ms: null, kernel: 'none', movingMass_kg: null },
    temperature_degC: 25,
    residual_N: 0.01,
    notIdentified: [],
    findings: [],
  };
}
