import { expect } from 'vitest';
import { analyzeRecording, type RecordingAnalysis } from '../../analysis/index.js';
import type { Played } from './played/recording.js';

/** Expects mean drag within half a percent of what was played, and its interval to hold that. */
export function expectDragAsPlayed({ trace, shock }: Played): RecordingAnalysis {
  const outcome = analyzeRecording(trace);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  const truth_N = 0.5 * (shock.dragCompression_N + shock.dragRebound_N);
  const { value, low95, high95 } = outcome.analysis.friction.mean_N!;
  expect(Math.abs(value / truth_N - 1)).toBeLessThan(0.005);
  expect(low95).toBeLessThan(truth_N);
  expect(high95).toBeGreaterThan(truth_N);
  return outcome.analysis;
}
