/** Figures of a benchmark by name, unit in the name. */
export type Figures = Readonly<Record<string, number | string>>;

/** What a benchmark's module exports; the list of them is in benchmarks.ts. */
export interface Benchmark {
  readonly name: string;
  /** In one line: what is measured against what. */
  readonly what: string;
  /** Takes many minutes: runs only when it is named. */
  readonly long?: boolean;
  /**
   * Measures, printing a line for each figure as it comes.
   * @returns the figures, for the file
   */
  run(print: (line: string) => void): Figures | Promise<Figures>;
}
