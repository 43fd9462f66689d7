/** The last seconds of one channel. */
export interface TraceWindow {
  readonly time_s: readonly number[];
  readonly values: readonly number[];
  readonly duration_s: number;
  append(time_s: readonly number[], values: readonly number[]): void;
  clear(): void;
}

/** @param duration_s how much is kept; twice as much may lie in memory, so that old samples are dropped in lumps */
export function createTraceWindow(duration_s: number): TraceWindow {
  const time: number[] = [];
  const values: number[] = [];
  return {
    time_s: time,
    values,
    duration_s,
    append(newTimes_s, newValues) {
      time.push(...newTimes_s);
      values.push(...newValues);
      const last = time.at(-1);
      if (last === undefined || last - time[0]! < 2 * duration_s) return;
      const keep = time.findIndex((t) => t >= last - duration_s);
      time.splice(0, keep);
      values.splice(0, keep);
    },
    clear() {
      time.length = 0;
      values.length = 0;
    },
  };
}
