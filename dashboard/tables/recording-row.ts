import type { Estimate, RecordingAnalysis } from '../../analysis/index.js';
import type { RecordingRow } from './summary.js';

/** One recording as a row of a summary: what its build is made of, and what the analysis found, null where it found nothing. */
export function recordingRow(
  recording: { readonly id: number; readonly buildName: string },
  properties: Readonly<Record<string, unknown>>,
  analysis: RecordingAnalysis | null,
): RecordingRow {
  const part = (key: string) => (properties[key] === undefined ? null : String(properties[key]));
  const value = (estimate: Estimate | null) => estimate?.value ?? null;
  return {
    recording: String(recording.id),
    build: recording.buildName,
    oil: part('oil'),
    piston: part('piston'),
    quantities: analysis
      ? {
          friction_N: value(analysis.friction.mean_N),
          breakaway_N: value(analysis.friction.breakaway_N),
          'damping.compression.linear_Ns_per_m': value(analysis.damping.compression.linear_Ns_per_m),
          'damping.compression.quadratic_Ns2_per_m2': value(
            analysis.damping.compression.quadratic_Ns2_per_m2,
          ),
          'damping.rebound.linear_Ns_per_m': value(analysis.damping.rebound.linear_Ns_per_m),
          'damping.rebound.quadratic_Ns2_per_m2': value(analysis.damping.rebound.quadratic_Ns2_per_m2),
        }
      : {},
  };
}
