/** One reading of a channel at a known value, on the way up or down. */
export interface KnownReading {
  /** Which run through the values, counted from 1; a run begins at zero and may come back to it. */
  readonly series: number;
  /** The known value: N or m. Signed where both ways were calibrated. */
  readonly value: number;
  readonly direction: 'up' | 'down';
  readonly reading_counts: number;
  readonly temperature_degC?: number | null;
}

/** One run with its readings less the zero it began with. */
export interface LoadSeries {
  readonly series: number;
  /** Null where the run did not begin with nothing on. */
  readonly zero_counts: number | null;
  /** Zero at the end, null where it did not come back to nothing. */
  readonly zeroAtEnd_counts: number | null;
  readonly points: readonly LoadPoint[];
  /** Mean over the run, null without a sensor. */
  readonly temperature_degC: number | null;
}

export interface LoadPoint {
  readonly value: number;
  readonly direction: 'up' | 'down';
  /** Reading less the zero the run began with. */
  readonly deflection_counts: number;
}

/** Sorts readings into their runs, each relative to its own first zero. */
export function loadSeries(readings: readonly KnownReading[]): LoadSeries[] {
  const numbers = [...new Set(readings.map(({ series }) => series))].sort((a, b) => a - b);
  return numbers.map((series) => {
    const own = readings.filter((reading) => reading.series === series);
    const first = own[0].value === 0 ? own[0].reading_counts : null;
    const last = own[own.length - 1];
    const temperatures = own.flatMap(({ temperature_degC }) => temperature_degC ?? []);
    return {
      series,
      zero_counts: first,
      zeroAtEnd_counts: own.length > 1 && last.value === 0 ? last.reading_counts : null,
      points: own
        .filter(({ value }) => value !== 0)
        .map(({ value, direction, reading_counts }) => ({
          value,
          direction,
          deflection_counts: reading_counts - (first ?? 0),
        })),
      temperature_degC:
        temperatures.length > 0 ? temperatures.reduce((a, b) => a + b, 0) / temperatures.length : null,
    };
  });
}

/** Where readings do not say which way they were taken: up until the largest value of a run, down after it. */
export function directionsOf(values: readonly number[]): ('up' | 'down')[] {
  const sizes = values.map(Math.abs);
  const top = sizes.lastIndexOf(Math.max(...sizes));
  return values.map((_, i) => (i <= top ? 'up' : 'down'));
}
