import type { HostClock } from '../../daq/host-clock.js';
import type { BindingPort, PortBinding } from '../../daq/ports/port-binding.js';
import {
  type DeviceFrame,
  decodeHostLine,
  encodeDeviceLine,
  type HostCommand,
  LineSplitter,
} from '../../firmware-protocol/index.js';

type Unsent<Frame> = Frame extends unknown ? Omit<Frame, 'sequence'> : never;

export interface ScriptedRigOptions {
  readonly drive?: boolean;
  readonly force_Hz?: number;
  readonly position_Hz?: number;
  /** Device clock when the port opens, so that a test can be near its wrap. */
  readonly startTime_us?: number;
  /** Time after opening during which the device is deaf, as under a boot loader. */
  readonly deaf_ms?: number;
  /** Does not do what it is told, and says nothing, when this says so. */
  readonly ignores?: (command: HostCommand, times: number) => boolean;
  /** Looks at each line before it goes out: other bytes, or null for a line that is lost. */
  readonly onWire?: (bytes: Uint8Array, frame: Unsent<DeviceFrame>) => Uint8Array | null;
  readonly protocolVersion?: number;
  readonly firstSequence?: number;
  /** What the sensors give at a device time, in counts; a slow sinusoid where it is left out. */
  readonly counts?: (kind: 'force' | 'position', time_us: number) => number;
  /** Baud rate it is set to; at any other both sides get noise. */
  readonly baudRate?: number;
  /** Most bytes that one read brings. */
  readonly bytesPerRead?: number;
}

function sinusoid(kind: 'force' | 'position', time_us: number): number {
  return Math.round(1000 * Math.sin(time_us / 1e5)) + (kind === 'force' ? 0 : 5000);
}

/** A device of a few lines that speaks the protocol on scripted time: each read that finds nothing takes 5 ms. */
export function scriptedRig(options: ScriptedRigOptions = {}) {
  const { drive = true, force_Hz = 80, position_Hz = 200, startTime_us = 1_000_000 } = options;
  const timers = new Set<{ at_ms: number; run: () => void }>();
  const heard: HostCommand[] = [];
  const splitter = new LineSplitter();
  let now_ms = 0;
  let sequence = options.firstSequence ?? 0;
  let cable = 0;
  let sampling = false;
  let speed_mHz = 0;
  let tripped = false;
  let out: Buffer[] = [];
  let heardBaud = 250_000;
  const ownBaud = options.baudRate ?? 250_000;
  const due_us: Record<'force' | 'position', number> = { force: 0, position: 0 };
  const rate_mHz = { force: force_Hz * 1000, position: position_Hz * 1000 };
  const period_us = (kind: 'force' | 'position') => 1e9 / rate_mHz[kind];

  const time_us = () => startTime_us + now_ms * 1000;
  const stamp = (us: number) => Math.round(us) % 2 ** 32;
  const sendBytes = (bytes: Uint8Array | string) => void out.push(Buffer.from(bytes as Uint8Array));
  const send = (frame: Unsent<DeviceFrame>) => {
    const bytes = encodeDeviceLine({ ...frame, sequence } as DeviceFrame);
    sequence = (sequence + 1) & 0xffff;
    const wired = options.onWire ? options.onWire(bytes, frame) : bytes;
    if (wired) sendBytes(heardBaud === ownBaud ? wired : wired.map((byte) => byte | 0x80));
  };
  const sendIdentity = () => {
    send({
      type: 'identity',
      protocolVersion: options.protocolVersion ?? 1,
      firmware: 'script 1',
      rigName: 'scripted',
      channelCount: 2,
      drive: drive ? 'speed' : 'none',
    });
    const channel = (kind: 'force' | 'position') =>
      send({
        type: 'channel',
        kind,
        unit: 'counts',
        counts_min: -8_388_608,
        counts_max: 8_388_607,
        rate_mHz: rate_mHz[kind],
        delay_us: kind === 'position' ? 416 : 0,
        kernel: kind === 'force' ? 'sinc4' : 'none',
      });
    channel('force');
    channel('position');
    if (drive) send({ type: 'drive', speedMin_mHz: 100, speedMax_mHz: 5000, lease_ms: 1000 });
  };

  function obey(command: HostCommand): void {
    heard.push(command);
    if (now_ms < (options.deaf_ms ?? 0)) return;
    if (options.ignores?.(command, heard.filter(({ type }) => type === command.type).length)) return;
    const { type, tag } = command;
    const done = (...fields: string[]) => send({ type: 'reply', command: type, tag, fields });
    const refuse = (code: 'no-drive' | 'not-running' | 'busy' | 'tripped') =>
      send({ type: 'refusal', command: type, tag, code });
    if (type === 'beat') return;
    if (type === 'identify') sendIdentity();
    if (type === 'start' && sampling) refuse('busy');
    else if (type === 'stop' && !sampling) refuse('not-running');
    else if (!drive && (type === 'drive' || type === 'halt')) refuse('no-drive');
    else if (type === 'drive' && tripped) refuse('tripped');
    else if (type === 'stop') {
      sampling = false;
      done('0');
    } else {
      if (type === 'start') {
        sampling = true;
        due_us.force = due_us.position = time_us();
      }
      if (type === 'drive') speed_mHz = command.speed_mHz;
      if (type === 'halt') speed_mHz = 0;
      // Only these two rates, like many a converter.
      if (type === 'rate' && command.kind !== 'temperature')
        rate_mHz[command.kind] = command.rate_mHz < 100_000 ? 80_000 : 320_000;
      if (type === 'tare')
        send({ type: 'event', deviceTime_us: stamp(time_us()), event: 'tare', value: tag });
      done();
    }
  }

  function pass(ms: number): void {
    now_ms += ms;
    for (const timer of [...timers].toSorted((a, b) => a.at_ms - b.at_ms)) {
      if (timer.at_ms > now_ms || !timers.delete(timer)) continue;
      timer.run();
    }
    for (const kind of ['force', 'position'] as const)
      for (; sampling && due_us[kind] <= time_us(); due_us[kind] += period_us(kind)) {
        const counts = (options.counts ?? sinusoid)(kind, due_us[kind]);
        send({ type: 'sample', kind, deviceTime_us: stamp(due_us[kind]), counts });
      }
  }

  const clock: HostClock = {
    now_ms: () => now_ms,
    after(delay_ms, run) {
      const timer = { at_ms: now_ms + delay_ms, run };
      timers.add(timer);
      return () => timers.delete(timer);
    },
  };

  function openedPort(): BindingPort {
    let isOpen = true;
    const ofThisCable = cable;
    return {
      openOptions: { path: 'scripted-rig', baudRate: 250_000 },
      get isOpen() {
        return isOpen;
      },
      async close() {
        isOpen = false;
      },
      async read(buffer, offset, length) {
        while (out.length === 0) {
          await new Promise((resolve) => setImmediate(resolve));
          if (!isOpen) throw Object.assign(new Error('closed'), { canceled: true });
          if (cable !== ofThisCable) throw new Error('unplugged');
          pass(5);
        }
        const all = Buffer.concat(out);
        const bytesRead = all.copy(
          buffer,
          offset,
          0,
          Math.min(length, options.bytesPerRead ?? length, all.length),
        );
        out = bytesRead < all.length ? [all.subarray(bytesRead)] : [];
        return { buffer, bytesRead };
      },
      async write(buffer) {
        // At a wrong rate a rig reads noise, and its refusal comes back as noise.
        if (heardBaud !== ownBaud)
          send({ type: 'refusal', command: 'unreadable', tag: 0, code: 'bad-checksum' });
        if (heardBaud !== ownBaud) return;
        splitter.push(buffer, (bytes, start, end) => {
          const command = decodeHostLine(bytes, start, end);
          if (command.type !== 'skipped') obey(command);
        });
      },
      async update({ baudRate }) {
        heardBaud = baudRate;
      },
      set: async () => {},
      get: async () => ({ cts: false, dsr: false, dcd: false }),
      getBaudRate: async () => ({ baudRate: 250_000 }),
      flush: async () => {},
      drain: async () => {},
    };
  }
  const binding: PortBinding = {
    list: async () => [],
    open: async ({ baudRate }) => {
      heardBaud = baudRate;
      return openedPort();
    },
  };

  return {
    binding,
    clock,
    path: 'scripted-rig',
    /** Commands in the order they arrived, also those ignored. */
    heard,
    send,
    sendBytes,
    sendIdentity,
    /** Skips sequence numbers, as a device does that drops lines. */
    dropLines: (count: number) => {
      sequence = (sequence + count) & 0xffff;
    },
    setSequence: (next: number) => {
      sequence = next;
    },
    /** Leaves conversions out, so that their times are missing. */
    skipForce: (conversions: number) => {
      due_us.force += conversions * period_us('force');
    },
    trip: () => {
      tripped = true;
      speed_mHz = 0;
    },
    /** Starts anew: clock and counter from zero, sampling and drive off. */
    reset: (banner: boolean) => {
      sampling = false;
      speed_mHz = 0;
      sequence = 0;
      if (banner) {
        sendBytes('\n');
        send({ type: 'event', deviceTime_us: 1000, event: 'boot', value: 1 });
      }
    },
    hang: () => {
      sampling = false;
    },
    /** The port that is open fails; the next one opened is another. */
    unplug: () => {
      cable++;
      out = [];
    },
    isSampling: () => sampling,
    speed_mHz: () => speed_mHz,
    now_ms: () => now_ms,
    time_us: () => stamp(time_us()),
  };
}
