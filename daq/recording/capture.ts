import type { ChannelKind, EventFrame, SampleFrame } from '../../firmware-protocol/index.js';
import { deviceClock } from '../clock/device-clock.js';
import { DaqError } from '../daq-error.js';
import { DRIVE_STOPPERS, type RigLink } from '../link/rig-link.js';
import type { RawChannel } from '../logbook/entities.js';
import type { RecordedEvent } from '../procedures.js';
import { channelBuffers } from './channel-buffers.js';

/** Device time between blocks: half of what may be lost when the power goes. */
const BLOCK_EVERY_US = 500_000;
/** Device time between looks at what is being captured, 30 a second. */
const LOOK_EVERY_US = 33_000;
/** Enough for a recording's story; a rig that overruns all the time would fill it with nothing new. */
const MOST_EVENTS = 1000;

export interface CaptureSinks {
  /** Takes samples for keeping. */
  keep(channels: RawChannel[]): void;
  /** Takes the same samples for showing. */
  look(channels: RawChannel[], first_us: number): void;
}

/** What a link sends from now on, on unwrapped device time. */
export interface Capture {
  /** Device time since the first sample, in s. */
  elapsed_s(): number;
  /** Resolves when so much device time has passed since the first sample. */
  reaches(elapsed_s: number): Promise<void>;
  /** Rejects with the first thing that ends a capture before its time: the rig, or a sink. */
  readonly broken: Promise<never>;
  readonly samples: Readonly<Record<ChannelKind, number>>;
  readonly events: readonly RecordedEvent[];
  /** Listens no more and hands on what is left. */
  end(): void;
}

/** Listens to a link and hands its samples on in blocks; both sinks are called between lines, never after `end`. */
export function capture(link: RigLink, sinks: CaptureSinks): Capture {
  const unwrap = deviceClock();
  const kept = channelBuffers(link.identity());
  const shown = channelBuffers(link.identity());
  const samples = { force: 0, position: 0, temperature: 0 };
  const events: RecordedEvent[] = [];
  let breakOff: (reason: unknown) => void = () => {};
  const broken = new Promise<never>((_resolve, reject) => {
    breakOff = reject;
  });
  broken.catch(() => {}); // whoever races it hears of it; if nobody does, that is no crash
  let wait: { readonly until_s: number; readonly over: () => void } | null = null;
  let first_us: number | null = null;
  let newest_us = 0;
  let nextBlock_us = -Infinity;
  let nextLook_us = -Infinity;

  function takeSample({ kind, deviceTime_us, counts }: SampleFrame): void {
    const time_us = unwrap(deviceTime_us);
    first_us ??= time_us;
    newest_us = Math.max(newest_us, time_us);
    samples[kind]++;
    kept.add(kind, time_us, counts);
    shown.add(kind, time_us, counts);
    if (time_us >= nextBlock_us) {
      sinks.keep(kept.take());
      nextBlock_us = time_us + BLOCK_EVERY_US;
    }
    if (time_us >= nextLook_us) {
      sinks.look(shown.take(), first_us);
      nextLook_us = time_us + LOOK_EVERY_US;
    }
  }
  const elapsed_s = () => (first_us === null ? 0 : (newest_us - first_us) / 1e6);

  const stopListening = link.listen({
    sample(frame) {
      // Thrown inside a stream's listener, a full disk would end the process without halting the drive.
      try {
        takeSample(frame);
      } catch (error) {
        breakOff(error);
      }
      if (!wait || elapsed_s() < wait.until_s) return;
      wait.over();
      wait = null;
    },
    event(frame) {
      // A device that restarted has a new clock, which must not be joined to the old one.
      const time_us = frame.event === 'boot' ? newest_us : unwrap(frame.deviceTime_us);
      const time_s = (time_us - (first_us ?? time_us)) / 1e6;
      if (events.length < MOST_EVENTS) events.push({ time_s, event: frame.event, value: frame.value });
      if (DRIVE_STOPPERS.has(frame.event) && frame.event !== 'boot') breakOff(stoppedByRig(link.path, frame));
    },
    failure: breakOff,
  });

  return {
    elapsed_s,
    reaches: (until_s) =>
      new Promise((resolve) => {
        if (elapsed_s() >= until_s) resolve();
        else wait = { until_s, over: resolve };
      }),
    broken,
    samples,
    events,
    end() {
      stopListening();
      sinks.keep(kept.take());
      if (first_us !== null) sinks.look(shown.take(), first_us);
    },
  };
}

function stoppedByRig(where: string, { event, value }: EventFrame): DaqError {
  return new DaqError('rig-stopped', {
    where,
    found: `the rig stopped its drive: ${event} (${value})`,
    wanted: 'a run without it; look at the rig before it is re-armed',
  });
}
