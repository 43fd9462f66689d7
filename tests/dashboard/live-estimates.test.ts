import { describe, expect, it } from 'vitest';
import type { Finding } from '../../analysis/index.js';
import type { LiveEstimate } from '../../dashboard/answers/index.js';
import { followedSpeed_m_per_s, liveEstimate } from '../../dashboard/answers/index.js';
import type { AnalysisBody } from '../../dashboard/server/api.js';
import { liveEstimates } from '../../dashboard/server/live-estimates.js';
import { liveSentence } from '../../dashboard/wording/index.js';
import { inventedAnalysis, inventedBody } from './server-fixture.js';

/** Analyses that end when the test says so, on a clock that it turns. */
function bench() {
  let now_ms = 0;
  const asked: { readonly id: number; end(took_ms: number): Promise<void>; fail(): Promise<void> }[] = [];
  const told: LiveEstimate[] = [];
  const settled = () => new Promise<void>((resolve) => setImmediate(resolve));
  const estimates = liveEstimates(
    (id) =>
      new Promise<AnalysisBody>((resolve, reject) => {
        asked.push({
          id,
          end(took_ms) {
            now_ms += took_ms;
            resolve(inventedBody(id));
            return settled();
          },
          fail() {
            reject(new Error('the analysis thread ended'));
            return settled();
          },
        });
      }),
    (estimate) => told.push(estimate),
    { now_ms: () => now_ms, after: () => () => {} },
  );
  estimates.begin(7);
  return { estimates, asked, told, settled };
}

describe('estimates while it records', () => {
  it('are worked out one at a time, the next when the last is done and new samples are durable', async () => {
    const { estimates, asked, told } = bench();
    estimates.reached(0.5, null);
    expect(asked).toHaveLength(0);
    estimates.reached(1, null);
    estimates.reached(2, null);
    expect(asked).toHaveLength(1);
    await asked[0]!.end(300);
    expect(told.map(({ until_s, isLast }) => [until_s, isLast])).toEqual([[1, false]]);
    estimates.reached(1.5, null);
    expect(asked).toHaveLength(1);
    estimates.reached(2.25, null);
    expect(asked).toHaveLength(2);
  });

  it('leave the thread free for the end of the recording, where its end is known', async () => {
    const { estimates, asked } = bench();
    estimates.reached(10, 14);
    await asked[0]!.end(1000);
    estimates.reached(22.8, 1.2);
    expect(asked).toHaveLength(1);
    estimates.reached(22.6, 1.4);
    expect(asked).toHaveLength(2);
  });

  it('end with the analysis of the whole recording, made once for everybody who asks', async () => {
    const { estimates, asked, told, settled } = bench();
    estimates.reached(3, null);
    estimates.end(4);
    await settled();
    // The one under way is not thrown away: nothing but the thread's end would stop it.
    expect(asked).toHaveLength(1);
    await asked[0]!.end(100);
    expect(asked).toHaveLength(2);
    const body = estimates.lastOf(7);
    expect(estimates.lastOf(8)).toBeUndefined();
    await asked[1]!.end(100);
    expect(await body).toEqual(inventedBody(7));
    expect(told.at(-1)).toEqual(liveEstimate(inventedBody(7), { recordingId: 7, until_s: 4, isLast: true }));
    expect(estimates.soFar()).toEqual(told);
  });

  it('survive a thread that died, and do not hand its failure on', async () => {
    const { estimates, asked, told, settled } = bench();
    estimates.reached(1, null);
    await asked[0]!.fail();
    estimates.reached(2, null);
    await asked[1]!.end(100);
    expect(told).toHaveLength(1);
    estimates.end(3);
    await settled();
    await asked[2]!.fail();
    expect(estimates.lastOf(7)).toBeUndefined();
  });

  it('of an earlier recording are not taken for the next one’s', async () => {
    const { estimates, asked, told } = bench();
    estimates.reached(1, null);
    estimates.begin(8);
    await asked[0]!.end(100);
    expect(told).toEqual([]);
    expect(estimates.soFar()).toEqual([]);
  });

  it('of very long recordings are thinned, the newest kept', async () => {
    const { estimates, asked } = bench();
    for (let second = 1; second <= 500; second++) {
      estimates.reached(second, null);
      await asked.at(-1)!.end(10);
    }
    expect(estimates.soFar().length).toBeLessThanOrEqual(240);
    expect(estimates.soFar().at(-1)!.until_s).toBe(500);
  });
});

describe('what a recording says so far', () => {
  const about = { recordingId: 1, until_s: 12, isLast: false };
  const point = (velocity_m_per_s: number, force_N: number) => ({
    velocity_m_per_s,
    force_N,
    standardError_N: 0.01,
    low95_N: force_N - 0.02,
    high95_N: force_N + 0.02,
  });
  const analysed = (fastest: number, findings: readonly Finding[] = []) => ({
    ok: true as const,
    analysis: {
      ...inventedAnalysis(1),
      cycles: 5,
      findings,
      damping: {
        ...inventedAnalysis(1).damping,
        curve: [point(-fastest, -20 * fastest), point(fastest, 30 * fastest)],
      },
    },
  });
  const few: Finding = { code: 'too-few-cycles', severity: 'warning', values: { cycles: 5, wanted: 8 } };

  it('is nothing yet below eight cycles, whatever the fit gave', () => {
    const estimate = liveEstimate(analysed(0.2, [few]), about);
    expect(estimate.quantities.map((followed) => followed.estimate)).toEqual([null, null, null]);
    expect(liveSentence(estimate, 'friction_N', 0.03, 'unknown', null)).toMatch(
      /^Not known yet: 5 of 8 cycles/,
    );
  });

  it('is drag, and damping at 100 mm/s as the curve has it there', () => {
    const { quantities } = liveEstimate(analysed(0.2), about);
    expect(quantities.map(({ quantity, estimate }) => [quantity, estimate?.value])).toEqual([
      ['friction_N', inventedAnalysis(1).friction.mean_N!.value],
      ['damping.compression@0.10', 30 * followedSpeed_m_per_s],
      ['damping.rebound@0.10', 20 * followedSpeed_m_per_s],
    ]);
    const { low95, high95 } = quantities[1]!.estimate!;
    expect(high95 - low95).toBeCloseTo(0.02, 6);
  });

  it('says no damping at a speed that was not reached, nor any where all speeds are about one', () => {
    expect(liveEstimate(analysed(0.09), about).quantities[1]).toMatchObject({
      estimate: null,
      notYet: 'too-slow',
      fastest_m_per_s: 0.09,
    });
    const one = { ok: true as const, analysis: inventedAnalysis(1) };
    expect(liveEstimate(one, about).quantities[2]).toMatchObject({ estimate: null, notYet: 'one-speed' });
  });

  it('says why it cannot be analysed yet', () => {
    const refusal = { code: 'no-motion', found: '1 mm', wanted: 'strokes' } as const;
    const estimate = liveEstimate({ ok: false, refusal }, about);
    expect(estimate).toMatchObject({ refusal, quantities: [] });
    expect(liveSentence(estimate, 'friction_N', null, 'unknown', null)).toMatch(/wait for whole strokes/);
  });

  it('tells that it may be stopped only once it is sharp, and what that leaves out', () => {
    const estimate = liveEstimate(analysed(0.2), about);
    const say = (sharpness: 'coarse' | 'sharp', leftOut: string | null) =>
      liveSentence(estimate, 'friction_N', 0.03, sharpness, leftOut);
    expect(say('coarse', null)).toBe('Drag is known to ±0.020 N; your question needs ±0.030 N.');
    expect(say('sharp', null)).toBe(
      'Sharp enough. Drag is known to ±0.020 N, your question needs ±0.030 N: you may stop.',
    );
    expect(say('sharp', 'the fast strokes are still to come')).toMatch(/you may stop; the fast strokes/);
  });
});
