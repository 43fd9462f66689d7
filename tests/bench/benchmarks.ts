import * as acquisitionLoad from './acquisition-load.js';
import type { Benchmark } from './benchmark.js';
import * as coverage from './coverage.js';
import * as findings from './findings-rates.js';
import * as growth from './growth.js';
import * as manyFiles from './many-files.js';
import * as overlay from './overlay.js';
import * as parsing from './parsing.js';
import * as scipy from './scipy.js';
import * as tenMillion from './ten-million.js';

/** All benchmarks, in the order in which they run. A new one is a module with `name`, `what` and `run`, and a line here. */
export const benchmarks: readonly Benchmark[] = [
  parsing,
  growth,
  scipy,
  manyFiles,
  coverage,
  tenMillion,
  acquisitionLoad,
  findings,
  overlay,
];
