/** The last seconds of one channel, thinned for drawing as they come. */
export interface Envelope {
  readonly duration_s: number;
  /** Time of the newest sample; 0 before the first. */
  readonly end_s: number;
  readonly last: number | null;
  append(time_s: readonly number[], values: readonly number[]): void;
  clear(): void;
  /** Calls back with what a line has to pass through, oldest first: four points a column at most. */
  trace(through: (time_s: number, value: number) => void): void;
}

type Sample = readonly [time_s: number, value: number];

interface Column {
  /** Columns of time counted from 0. */
  readonly number: number;
  readonly first: Sample;
  lowest: Sample;
  highest: Sample;
  last: Sample;
}

/**
 * Keeps the first, lowest, highest and last sample of each of some columns of time: a line through these covers the same
 * pixels as one through all samples, if a column is at most a pixel wide (M4: Jugel et al., *PVLDB* 7 (2014) 797; from
 * memory). Each sample is looked at once, whatever the frame rate.
 * @param duration_s shown
 * @param columns over the duration; they lie fixed in time, so that a moving trace does not shimmer
 */
export function createEnvelope(duration_s: number, columns = 400): Envelope {
  const width_s = duration_s / columns;
  let kept: Column[] = [];
  const oldest = () => (kept.at(-1)?.number ?? 0) - columns;
  return {
    duration_s,
    get end_s() {
      return kept.at(-1)?.last[0] ?? 0;
    },
    get last() {
      return kept.at(-1)?.last[1] ?? null;
    },
    append(time_s, values) {
      for (let i = 0; i < time_s.length; i++) {
        const sample: Sample = [time_s[i]!, values[i]!];
        const number = Math.floor(sample[0] / width_s);
        const open = kept.at(-1);
        if (open?.number !== number)
          kept.push({ number, first: sample, lowest: sample, highest: sample, last: sample });
        else {
          open.last = sample;
          if (sample[1] < open.lowest[1]) open.lowest = sample;
          if (sample[1] > open.highest[1]) open.highest = sample;
        }
      }
      // In lumps: taking one column from the front at a time would move all the others each time.
      if (kept.length > 1.2 * columns) kept = kept.filter(({ number }) => number >= oldest());
    },
    clear() {
      kept = [];
    },
    trace(through) {
      const from = oldest();
      for (const { number, first, lowest, highest, last } of kept) {
        if (number < from) continue;
        const [earlier, later] = lowest[0] <= highest[0] ? [lowest, highest] : [highest, lowest];
        through(...first);
        if (earlier !== first) through(...earlier);
        if (later !== earlier && later !== last) through(...later);
        if (last !== first) through(...last);
      }
    },
  };
}
