import { describe, expect, it } from 'vitest';
import { analysisCache } from '../../dashboard/server/analysis-cache.js';
import { sharedWork } from '../../dashboard/server/shared-work.js';

/** Work that ends when the test says so, and remembers that it was called off. */
function pending() {
  let finish = (_value: string) => {};
  let fail = (_error: unknown) => {};
  const begun: AbortSignal[] = [];
  const begin = (signal: AbortSignal) => {
    begun.push(signal);
    return new Promise<string>((resolve, reject) => {
      finish = resolve;
      fail = reject;
      signal.addEventListener('abort', () => reject(signal.reason));
    });
  };
  return { begin, begun, finish: (value: string) => finish(value), fail: (error: unknown) => fail(error) };
}

const gone = new Error('gone');

describe('work that several wait for', () => {
  it('is begun once and kept', async () => {
    const { begin, begun, finish } = pending();
    const work = sharedWork<string>(9);
    const answers = [work.get('a', begin), work.get('a', begin, new AbortController().signal)];
    finish('done');
    expect(await Promise.all([...answers, work.get('a', begin)])).toEqual(['done', 'done', 'done']);
    expect(begun).toHaveLength(1);
  });

  it('goes on while one of them still waits, and is called off when the last has gone', async () => {
    const { begin, begun } = pending();
    const work = sharedWork<string>(9);
    const [first, second] = [new AbortController(), new AbortController()];
    const answers = Promise.allSettled([
      work.get('a', begin, first.signal),
      work.get('a', begin, second.signal),
    ]);
    first.abort(gone);
    expect(begun[0]!.aborted).toBe(false);
    second.abort(gone);
    expect(begun[0]!.aborted).toBe(true);
    expect((await answers).map((answer) => answer.status === 'rejected' && answer.reason)).toEqual([
      gone,
      gone,
    ]);
  });

  it('that was called off is begun anew for whoever asks next, even at once', async () => {
    const { begin, begun, finish } = pending();
    const work = sharedWork<string>(9);
    const first = new AbortController();
    const left = work.get('a', begin, first.signal).catch((reason: unknown) => reason);
    first.abort(gone);
    const next = work.get('a', begin);
    finish('done');
    expect([await left, await next]).toEqual([gone, 'done']);
    expect(begun).toHaveLength(2);
  });

  it('is not called off once it is done, and not begun for somebody who has already gone', async () => {
    const { begin, begun, finish } = pending();
    const work = sharedWork<string>(9);
    const wanted = new AbortController();
    const answer = work.get('a', begin, wanted.signal);
    finish('done');
    await answer;
    wanted.abort(gone);
    expect(begun[0]!.aborted).toBe(false);
    await expect(work.get('b', begin, wanted.signal)).rejects.toBe(gone);
    expect(begun).toHaveLength(1);
  });

  it('that failed is told to all who waited and is not kept', async () => {
    const { begin, begun, fail, finish } = pending();
    const work = sharedWork<string>(9);
    const answers = Promise.allSettled([work.get('a', begin), work.get('a', begin)]);
    fail(gone);
    expect((await answers).map(({ status }) => status)).toEqual(['rejected', 'rejected']);
    const again = work.get('a', begin);
    finish('done');
    expect(await again).toBe('done');
    expect(begun).toHaveLength(2);
  });

  it('is forgotten in the order in which it was last asked for', async () => {
    const work = sharedWork<string>(2);
    const made: string[] = [];
    const ask = (key: string) =>
      work.get(key, async () => {
        made.push(key);
        return key;
      });
    for (const key of ['a', 'b', 'a', 'c', 'a', 'b']) await ask(key);
    expect(made).toEqual(['a', 'b', 'c', 'b']);
  });
});

describe('an analysis', () => {
  it('is made anew with another calibration or another method', async () => {
    const made: number[] = [];
    const analyse = async (recordingId: number) => {
      made.push(recordingId);
      return { ok: false, recordingId, refusal: { code: 'too-short', found: '', wanted: '' } } as const;
    };
    const cache = analysisCache(analyse, '1.0');
    const recording = { id: 7, calibrationId: 1 } as Parameters<typeof cache.analysisOf>[0];
    for (const calibrationId of [1, 2, 1])
      await cache.analysisOf({ ...recording, calibrationId } as typeof recording);
    expect(made).toEqual([7, 7]);
    expect(analysisCache(analyse, '1.1').keyOf(recording)).not.toBe(cache.keyOf(recording));
  });
});
