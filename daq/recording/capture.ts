import type { ChannelKind, EventFrame, SampleFrame } from '../../firmware-protocol/index.js';
import { type Calibration, isReadable, valuesFromCounts } from '../calibration.js';
import { deviceClock } from '../clock/device-clock.js';
import { DaqError } from '../daq-error.js';
import { channelOf } from '../link/rig-identity.js';
import { DRIVE_STOPPERS, type RigLink, restarted } from '../link/rig-link.js';
import type { RawChannel } from '../logbook/entities.js';
import type { RecordedEvent } from '../procedures.js';
import { channelBuffers } from './channel-buffers.js';
import { crankMotion } from './crank-motion.js';
import { type DriveLimits, loadWatch } from './load-watch.js';

/** Device time between blocks; a second at most may be lost when the power goes, lines still on their way included. */
const BLOCK_EVERY_US = 750_000;
/** Device time between looks at what is being captured, 30 a second. */
const LOOK_EVERY_US = 33_000;
/** Enough for a recording's story; a rig that overruns all the time would fill it with nothing new. */
const MOST_EVENTS = 1000;
/** Channels of one device come a little out of order; a clock further back than this has begun anew. */
const MOST_BACK_US = 2_000_000;

export interface CaptureSinks {
  /** Takes samples for keeping; they are offered again while it throws. */
  keep(channels: RawChannel[]): void;
  /** Takes the same samples for showing. */
  look(channels: RawChannel[], first_us: number): void;
}

/** What a link sends from now on, on unwrapped device time. */
export interface Capture {
  /** Device time since the first sample, in s. */
  elapsed_s(): number;
  /** Resolves once `isOver` says so; it is asked after every sample. One wait at a time. */
  until(isOver: () => boolean): Promise<void>;
  /** Rejects with the first thing that ends a capture before its time: the rig, a sink, or a load past its limits. */
  readonly broken: Promise<never>;
  readonly samples: Readonly<Record<ChannelKind, number>>;
  readonly events: readonly RecordedEvent[];
  /** Of the crank, as the position has shown it up to the last look. */
  turns(): number;
  speed_rev_per_s(): number | null;
  /** Whether the shaft is at an end of its stroke. */
  isAtEnd(): boolean;
  /** The newest temperature; null without one. */
  temperature_degC(): number | null;
  /** Listens no more and hands on what is left. */
  end(): void;
}

/** Listens to a link and hands its samples on in blocks; both sinks are called between lines, never after `end`. */
export function capture(
  link: RigLink,
  calibration: Calibration,
  limits: DriveLimits,
  sinks: CaptureSinks,
): Capture {
  const identity = link.identity();
  const unwrap = deviceClock();
  const kept = channelBuffers(identity);
  const shown = channelBuffers(identity);
  const motion = crankMotion();
  let lookAtLoad: ReturnType<typeof loadWatch> | null = null;
  const hasDegrees = isReadable({
    kind: 'temperature',
    unit: channelOf(identity, 'temperature')?.unit ?? '',
  });
  const samples = { force: 0, position: 0, temperature: 0 };
  const events: RecordedEvent[] = [];
  let temperature_degC: number | null = null;
  let breakOff: (reason: unknown) => void = () => {};
  const broken = new Promise<never>((_resolve, reject) => {
    breakOff = reject;
  });
  broken.catch(() => {}); // whoever races it hears of it; if nobody does, that is no crash
  let wait: { readonly isOver: () => boolean; readonly over: () => void } | null = null;
  let first_us: number | null = null;
  let newest_us = 0;
  let nextBlock_us = -Infinity;
  let nextLook_us = -Infinity;

  function takeSample({ kind, deviceTime_us, counts }: SampleFrame): void {
    const time_us = unwrap(deviceTime_us);
    if (time_us < newest_us - MOST_BACK_US) throw restarted(link.path);
    first_us ??= time_us;
    newest_us = Math.max(newest_us, time_us);
    samples[kind]++;
    kept.add(kind, time_us, counts);
    shown.add(kind, time_us, counts);
    if (kind === 'temperature' && hasDegrees) temperature_degC = counts / 1000;
    // Begun anew with each start of the drive: what the load did while it stood is nobody's concern.
    lookAtLoad = link.isDriving() ? (lookAtLoad ?? loadWatch(identity, calibration, limits)) : null;
    const danger = lookAtLoad?.(kind, time_us, counts, () => link.statistics().linesMissing);
    if (danger) throw loadUnsafe(link.path, danger);
    if (time_us >= nextBlock_us) {
      nextBlock_us = time_us + BLOCK_EVERY_US;
      keep();
    }
    if (time_us >= nextLook_us) {
      nextLook_us = time_us + LOOK_EVERY_US;
      look(first_us);
    }
  }
  /** What could not be kept now stays for the next time. */
  function keep(): void {
    sinks.keep(kept.peek());
    kept.clear();
  }
  function look(first_us: number): void {
    const channels = shown.take();
    const position = channels.find((channel) => channel.kind === 'position');
    if (position) follow(position);
    sinks.look(channels, first_us);
  }
  function follow({ deviceTimes_us, counts }: RawChannel): void {
    const positions_m = valuesFromCounts('position', counts, calibration);
    for (let i = 0; i < counts.length; i++) motion.take(deviceTimes_us[i]!, positions_m[i]!);
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
      if (!wait?.isOver()) return;
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
    until: (isOver) =>
      new Promise((resolve) => {
        if (isOver()) resolve();
        else wait = { isOver, over: resolve };
      }),
    broken,
    samples,
    events,
    turns: motion.turns,
    speed_rev_per_s: motion.speed_rev_per_s,
    isAtEnd: motion.isAtEnd,
    temperature_degC: () => temperature_degC,
    end() {
      stopListening();
      keep();
      if (first_us !== null) look(first_us);
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

function loadUnsafe(where: string, danger: string): DaqError {
  return new DaqError('load-unsafe', {
    where,
    found: `${danger} while the drive turned, so it was halted`,
    wanted: 'a load that is watched and within its limits; look at the rig first',
  });
}
