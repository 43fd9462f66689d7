import type { ShareOf } from './analysis-pool.js';
import { exitStatus } from './failure.js';
import { printable } from './report-error.js';
import type { Source } from './source.js';
import { bar, progressLine } from './terminal.js';

/** How far several analyses are, shown on a terminal and only when they take longer than a second. */
export interface AnalysisProgress {
  /** To be told of shares; absent where nobody watches. */
  readonly onShare?: ShareOf;
  /** Makes room for a line of output. */
  clear(): void;
  end(): void;
}

const quiet_ms = 1000;
const refresh_ms = 200;

/**
 * Watches analyses until `end`; Ctrl-C meanwhile takes the line away and ends the program.
 * @param sources all that will be analysed
 */
export function analysisProgress(sources: readonly Source[]): AnalysisProgress {
  if (!process.stderr.isTTY || sources.length === 0) return { clear: () => {}, end: () => {} };
  const line = progressLine();
  const shares = new Map<Source, number>(sources.map((source) => [source, 0]));
  const begun_ms = performance.now();
  let latest = sources[0]!;

  const show = () => {
    const elapsed_ms = performance.now() - begun_ms;
    if (elapsed_ms < quiet_ms) return;
    let sum = 0;
    let done = 0;
    for (const share of shares.values()) {
      sum += share;
      if (share === 1) done++;
    }
    const share = sum / sources.length;
    const counted = sources.length > 1 ? ` ${done} of ${sources.length} done,` : '';
    const time = `${(elapsed_ms / 1000).toFixed(0)} s, Ctrl-C ends it`;
    line.show(`${bar(share, 12)}${counted} ${time}  ${printable(latest.label)}`);
  };
  const timer = setInterval(show, refresh_ms);
  const interrupted = () => {
    line.clear();
    process.exit(exitStatus.interrupted);
  };
  process.once('SIGINT', interrupted);
  return {
    onShare: (source, share) => {
      shares.set(source, share);
      latest = source;
    },
    clear: line.clear,
    end: () => {
      clearInterval(timer);
      process.off('SIGINT', interrupted);
      line.clear();
    },
  };
}
