import type { ChannelKind } from '../../firmware-protocol/index.js';
import { deviceClock } from '../clock/device-clock.js';
import { DaqError } from '../daq-error.js';
import { channelOf } from '../link/rig-identity.js';
import type { RigLink } from '../link/rig-link.js';

/** What a channel shows while nothing moves. */
export interface SteadyReading {
  readonly counts: number;
  /** Of single samples. */
  readonly standardDeviation_counts: number;
  readonly samples: number;
  /** Null without a sensor. */
  readonly temperature_degC: number | null;
}

export interface SteadyReadingOptions {
  readonly signal?: AbortSignal;
  /** Device time before giving up. */
  readonly longest_s?: number;
  /** Called twice a second of device time. */
  readonly onProgress?: (progress: { readonly elapsed_s: number; readonly counts: number }) => void;
}

const window_s = 0.5;
/** Windows in a row that have to agree: two seconds. */
const agreeing = 4;
/** How much the scatter within a window may have grown since the newest: a swing that dies away shows so. */
const dying = 1.3;

interface Window {
  readonly mean: number;
  readonly sd: number;
  readonly samples: number;
}

/**
 * Reads a channel once it is steady: four half seconds in a row whose means lie within their own scatter, and whose
 * scatter no longer falls, as it does while a hung mass swings.
 * @returns the mean over these two seconds
 * @throws DaqError 'no-channel', 'not-steady', the link's own; the signal's reason when it aborts
 */
export async function steadyReading(
  link: RigLink,
  kind: Exclude<ChannelKind, 'temperature'>,
  { signal, longest_s = 30, onProgress }: SteadyReadingOptions = {},
): Promise<SteadyReading> {
  const identity = link.identity();
  if (!channelOf(identity, kind))
    throw new DaqError('no-channel', {
      where: link.path,
      found: `rig '${identity.rigName}' without a ${kind} channel`,
      wanted: kind,
    });
  signal?.throwIfAborted();
  const unwrap = deviceClock();
  const windows: Window[] = [];
  const temperatures: number[] = [];
  let open: number[] = [];
  let first_us: number | null = null;
  let end_us = 0;

  const reading = new Promise<SteadyReading>((resolve, reject) => {
    const stop = link.listen({
      sample({ kind: of, deviceTime_us, counts }) {
        if (of === 'temperature') temperatures.push(counts / 1000);
        if (of !== kind) return;
        const time_us = unwrap(deviceTime_us);
        first_us ??= time_us;
        if (end_us === 0) end_us = time_us + window_s * 1e6;
        open.push(counts);
        if (time_us < end_us) return;
        end_us += window_s * 1e6;
        windows.push(windowOf(open));
        open = [];
        const elapsed_s = (time_us - first_us) / 1e6;
        const newest = windows.at(-1)!;
        onProgress?.({ elapsed_s, counts: newest.mean });
        const last = windows.slice(-agreeing);
        if (isSteady(last)) finish(() => resolve(together(last, temperatures)));
        else if (elapsed_s > longest_s) finish(() => reject(notSteady(link.path, kind, last, longest_s)));
      },
      failure: (error) => finish(() => reject(error)),
    });
    const abort = () => finish(() => reject(signal!.reason));
    signal?.addEventListener('abort', abort, { once: true });
    let isOver = false;
    function finish(settle: () => void): void {
      if (isOver) return;
      isOver = true;
      stop();
      signal?.removeEventListener('abort', abort);
      settle();
    }
  });
  reading.catch(() => {}); // heard of below, unless sampling never started
  try {
    await link.startSampling();
    return await reading;
  } finally {
    await link.stopSampling().catch(() => {});
  }
}

function windowOf(counts: readonly number[]): Window {
  const mean = counts.reduce((a, b) => a + b, 0) / counts.length;
  const squares = counts.reduce((sum, count) => sum + (count - mean) ** 2, 0);
  return { mean, sd: Math.sqrt(squares / Math.max(1, counts.length - 1)), samples: counts.length };
}

function isSteady(windows: readonly Window[]): boolean {
  if (windows.length < agreeing) return false;
  const means = windows.map(({ mean }) => mean);
  const newest = windows.at(-1)!;
  // Counts that never change have no scatter; one count is then what can be told.
  const scatter = Math.max(1, Math.min(...windows.map(({ sd }) => sd)));
  const isDying = windows[0]!.sd > dying * Math.max(1, newest.sd);
  return Math.max(...means) - Math.min(...means) <= scatter && !isDying;
}

function together(windows: readonly Window[], temperatures: readonly number[]): SteadyReading {
  const samples = windows.reduce((sum, window) => sum + window.samples, 0);
  const weighted = (of: (window: Window) => number) =>
    windows.reduce((sum, window) => sum + window.samples * of(window), 0) / samples;
  return {
    counts: weighted(({ mean }) => mean),
    standardDeviation_counts: Math.sqrt(weighted(({ sd }) => sd ** 2)),
    samples,
    temperature_degC:
      temperatures.length > 0 ? temperatures.reduce((a, b) => a + b, 0) / temperatures.length : null,
  };
}

function notSteady(
  where: string,
  kind: ChannelKind,
  windows: readonly Window[],
  longest_s: number,
): DaqError {
  const means = windows.map(({ mean }) => mean);
  const moved = Math.round(Math.max(...means) - Math.min(...means));
  return new DaqError('not-steady', {
    where,
    found: `a ${kind} that still moved by ${moved} counts in 2 s after ${longest_s} s`,
    wanted: 'one at rest: stop the swing, keep hands off and try again',
  });
}
