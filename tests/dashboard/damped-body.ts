import type { CurvePoint } from '../../analysis/index.js';
import type { AnalysisBody } from '../../dashboard/server/api.js';
import { inventedBody } from './server-fixture.js';

/** Recordings 1 to 3 damp with 22 N·s/m, the others with a quarter more; three remounts of each, nearly alike. */
export async function dampedBody(recordingId: number): Promise<AnalysisBody> {
  const body = inventedBody(recordingId);
  if (!body.ok) return body;
  const slope = (recordingId <= 3 ? 22 : 27.5) + 0.02 * (recordingId % 3);
  const curve = [-0.2, -0.15, -0.1, -0.05, 0.05, 0.1, 0.15, 0.2].map((velocity_m_per_s): CurvePoint => {
    const force_N = slope * velocity_m_per_s;
    return {
      velocity_m_per_s,
      force_N,
      standardError_N: 0.005,
      low95_N: force_N - 0.01,
      high95_N: force_N + 0.01,
    };
  });
  return { ...body, analysis: { ...body.analysis, damping: { ...body.analysis.damping, curve } } };
}
