/** Work that several may wait for: begun once, kept when it is done, called off when nobody waits for it any more. */
export interface SharedWork<Result> {
  /**
   * The result for a key: kept, under way, or begun now. A failure is not kept.
   * @param begin starts the work; its signal says that nobody waits any more
   * @param wanted aborted by whoever asks, when they need no answer any more
   * @throws what the work threw, or the reason of `wanted`
   */
  get(key: string, begin: (signal: AbortSignal) => Promise<Result>, wanted?: AbortSignal): Promise<Result>;
}

interface Work<Result> {
  readonly result: Promise<Result>;
  readonly calledOff: AbortController;
  waiting: number;
  isDone: boolean;
}

/** @param most results to keep; the one asked for longest ago goes first */
export function sharedWork<Result>(most: number): SharedWork<Result> {
  const kept = new Map<string, Work<Result>>();

  function start(key: string, begin: (signal: AbortSignal) => Promise<Result>): Work<Result> {
    const calledOff = new AbortController();
    const work: Work<Result> = {
      result: begin(calledOff.signal),
      calledOff,
      waiting: 0,
      isDone: false,
    };
    work.result.then(
      () => {
        work.isDone = true;
      },
      () => forget(key, work),
    );
    return work;
  }

  function forget(key: string, work: Work<Result>): void {
    if (kept.get(key) === work) kept.delete(key);
  }

  function leave(key: string, work: Work<Result>, reason: unknown): void {
    work.waiting--;
    if (work.waiting > 0 || work.isDone) return;
    // Forgotten at once, so that whoever asks next begins it anew.
    forget(key, work);
    work.calledOff.abort(reason);
  }

  return {
    async get(key, begin, wanted) {
      wanted?.throwIfAborted();
      const work = kept.get(key) ?? start(key, begin);
      kept.delete(key);
      kept.set(key, work);
      if (kept.size > most) kept.delete(kept.keys().next().value!);
      work.waiting++;
      if (!wanted) return work.result;
      return new Promise<Result>((resolve, reject) => {
        const giveUp = () => {
          leave(key, work, wanted.reason);
          reject(wanted.reason);
        };
        wanted.addEventListener('abort', giveUp, { once: true });
        work.result.then(resolve, reject).finally(() => wanted.removeEventListener('abort', giveUp));
      });
    },
  };
}
