import type { HostClock } from '../../daq/index.js';
import { type LiveEstimate, liveEstimate } from '../answers/index.js';
import type { AnalysisBody } from './api.js';

/** What the recording under way says so far: its analysis, made again and again on all samples that are durable. */
export interface LiveEstimates {
  /** Another recording; what an earlier one said is forgotten. */
  begin(recordingId: number): void;
  /**
   * Tells how far it is. Starts an analysis unless one is under way, nothing new is durable, or it would still be
   * under way when the recording ends and the last one is due.
   * @param left_s until its end; null where only its owner knows
   */
  reached(elapsed_s: number, left_s: number | null): void;
  /** No sample comes any more: starts the last analysis, which is the recording's own. */
  end(elapsed_s: number): void;
  /** For a page that comes in the middle, oldest first, some left out where there are very many. */
  soFar(): readonly LiveEstimate[];
  /** The analysis of the recording that ended last, perhaps still under way, so that nobody makes it twice. */
  lastOf(recordingId: number): Promise<AnalysisBody> | undefined;
}

/** Device time in which new samples become durable. */
const NEWS_EVERY_S = 0.75;
/** An analysis of a little more takes a little longer. */
const LONGER = 1.3;
const MOST_KEPT = 240;

/**
 * @param analyse analyses what the logbook has of a recording, in a thread of its own: it stays warm from one estimate
 *   to the next, so that the last comes within a second
 * @param publish tells the pages
 * @param clock the host's own, to know how long an analysis takes
 */
export function liveEstimates(
  analyse: (recordingId: number) => Promise<AnalysisBody>,
  publish: (estimate: LiveEstimate) => void,
  clock: HostClock,
): LiveEstimates {
  let recordingId: number | null = null;
  let estimates: LiveEstimate[] = [];
  let running: Promise<unknown> | null = null;
  let begunAt_s = 0;
  let took_ms = 0;
  let last: { readonly recordingId: number; readonly body: Promise<AnalysisBody> } | null = null;

  async function solve(of: number, until_s: number, isLast: boolean): Promise<AnalysisBody> {
    const begun_ms = clock.now_ms();
    const body = await analyse(of);
    took_ms = clock.now_ms() - begun_ms;
    if (of !== recordingId) return body;
    const estimate = liveEstimate(body, { recordingId: of, until_s, isLast });
    if (estimates.length >= MOST_KEPT) estimates = estimates.filter((_, i) => i % 2 === 0);
    estimates.push(estimate);
    publish(estimate);
    return body;
  }

  return {
    begin(next) {
      recordingId = next;
      estimates = [];
      begunAt_s = 0;
      last = null;
    },
    reached(elapsed_s, left_s) {
      if (recordingId === null || running || elapsed_s - begunAt_s < NEWS_EVERY_S) return;
      if (left_s !== null && 1000 * left_s < LONGER * took_ms) return;
      begunAt_s = elapsed_s;
      // One that fails says nothing; the last one's failure is told to whoever asks for the analysis.
      running = solve(recordingId, elapsed_s, false)
        .catch(() => {})
        .finally(() => {
          running = null;
        });
    },
    end(elapsed_s) {
      if (recordingId === null) return;
      const of = recordingId;
      const body = Promise.resolve(running).then(() => solve(of, elapsed_s, true));
      last = { recordingId: of, body };
      body.catch(() => {
        if (last?.body === body) last = null;
      });
    },
    soFar: () => estimates,
    lastOf: (id) => (last?.recordingId === id ? last.body : undefined),
  };
}
