import { describe, expect, it } from 'vitest';
import {
  analyzeRecording,
  type Finding,
  type FindingCode,
  type RecordingAnalysis,
} from '../../analysis/index.js';
import { playLadder } from './played/recording.js';
import type { PlayedShock } from './played/shock.js';

function analysed(seed: number, change: (shock: PlayedShock) => Partial<PlayedShock>) {
  const { trace, shock } = playLadder(seed, {
    rate_Hz: 320,
    change: (drawn) => ({ ...drawn, ...change(drawn) }),
  });
  const outcome = analyzeRecording(trace);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return { analysis: outcome.analysis, shock, mean_N: 0.5 * (shock.dragCompression_N + shock.dragRebound_N) };
}

const finding = ({ findings }: RecordingAnalysis, code: FindingCode): Finding | undefined =>
  findings.find((one) => one.code === code);
const features: readonly FindingCode[] = ['air-in-oil', 'compression-ceiling', 'end-contact'];

describe('what a shock does beyond gas, drag and damping', () => {
  it('is not found in sound shocks', () => {
    for (const seed of [21, 22, 23]) {
      const codes = analysed(seed, () => ({})).analysis.findings.map(({ code }) => code);
      expect(codes.filter((code) => features.includes(code))).toEqual([]);
    }
  });

  it('air in the oil shows as a dead stroke within 4 %, with drag still within 1 %', () => {
    for (const [seed, deadStroke_mm] of [
      [31, 0.5],
      [32, 1.8],
      // Without air in the fit, its seal bends out of reach.
      [15, 0.8],
    ] as const) {
      const { analysis, mean_N } = analysed(seed, () => ({ deadStroke_m: deadStroke_mm * 1e-3 }));
      const found = finding(analysis, 'air-in-oil')!;
      expect(Math.abs((found.values.deadStroke_mm as number) / deadStroke_mm - 1)).toBeLessThan(0.04);
      expect(Math.abs(analysis.friction.mean_N!.value / mean_N - 1)).toBeLessThan(0.01);
    }
  });

  it('air in the oil does not hide how the converter averages, nor the lag', () => {
    const { trace, rig } = playLadder(22, {
      rate_Hz: 80,
      kernel: 'sinc3',
      change: (drawn) => ({ ...drawn, deadStroke_m: 1.2e-3 }),
    });
    const outcome = analyzeRecording(trace);
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    const { kernel, lag_ms } = outcome.analysis.rig;
    expect(kernel).toBe('sinc3');
    expect(Math.abs(lag_ms!.value - 1e3 * rig.lag_s)).toBeLessThan(0.1);
    expect(lag_ms!.high95 - lag_ms!.low95).toBeLessThan(0.5);
  });

  it('a compression ceiling shows with its force within 1 %, the curve stops at it, and damping below it is as it was', () => {
    const { analysis, shock } = analysed(33, ({ compression }) => ({
      ceiling_N: 0.1 * compression.linear + 0.01 * compression.quadratic,
    }));
    const found = finding(analysis, 'compression-ceiling')!;
    expect(Math.abs((found.values.force_N as number) / shock.ceiling_N! - 1)).toBeLessThan(0.01);
    const { value } = analysis.damping.compression.linear_Ns_per_m!;
    expect(Math.abs(value / shock.compression.linear - 1)).toBeLessThan(0.02);
    const fastest = analysis.damping.curve.at(-1)!;
    const uncapped_N = shock.compression.linear * fastest.velocity_m_per_s;
    expect(uncapped_N).toBeGreaterThan(1.2 * shock.ceiling_N!);
    expect(Math.abs(fastest.force_N / shock.ceiling_N! - 1)).toBeLessThan(0.01);
  });

  it('contact before the end of travel shows where and how hard', () => {
    for (const [seed, stiffness_N_per_m, kind] of [
      [34, 3000, 'soft'],
      [35, 40000, 'hard'],
    ] as const) {
      const { analysis } = analysed(seed, () => ({ stop: { position_m: 15e-3, stiffness_N_per_m } }));
      const found = finding(analysis, 'end-contact')!;
      expect(found.values.position_mm as number).toBeCloseTo(15, 1);
      expect(found.values.kind).toBe(kind);
    }
  });
});
