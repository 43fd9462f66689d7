import {
  type ChannelKind,
  decodeHostLine,
  type EventName,
  type HostCommand,
  LineSplitter,
  type RefusalCode,
  type SkippedLine,
} from '../../firmware-protocol/index.js';
import { identityFrames, lease_s, rateLimits_Hz } from './device-identity.js';
import { driveGuard, type Trip } from './drive-guard.js';
import { type FaultSchedule, faultSchedule, type SimulatedFault, type SimulatedOpening } from './faults.js';
import { lineSender, type UnnumberedFrame } from './line-sender.js';
import type { PlayedRig } from './played-rig.js';
import { randomStream } from './random.js';
import type { RigHardware } from './rig-hardware.js';
import { stamps } from './stamps.js';
import type { Wire } from './wire.js';

/** The rig's microcontroller: takes host lines, streams conversions, guards the drive. Times are true seconds. */
export interface Device {
  /** The host's port was opened. */
  open(): void;
  /** Bytes from the host. */
  receive(bytes: Uint8Array): void;
  playUntil(time_s: number): void;
  /** Someone re-arms the drive at the rig. */
  rearm(): void;
  /** Nothing will happen before the host says something. */
  readonly quiet: boolean;
  /** True time until which the plug is out. */
  readonly unpluggedUntil_s: number;
}

export interface DeviceOptions {
  readonly seed: number;
  readonly opening: SimulatedOpening;
  readonly faults: readonly SimulatedFault[];
  /** Reading of the device's clock when it boots. */
  readonly clockAtBoot_us: number;
}

/** From reset to the banner, s: plain, and through a common boot loader, as measured on a simulated controller. */
const boot_s = 0.018;
const bootLoader_s = 1.41;
const overrunNotice_s = 0.1;
const never = Number.POSITIVE_INFINITY;

/**
 * Starts a device that has been running for a while.
 * @param rig what it measures and drives
 * @param hardware the rig's true values; the device declares of them what its firmware would know
 * @param wire where its lines go
 */
export function device(rig: PlayedRig, hardware: RigHardware, wire: Wire, options: DeviceOptions): Device {
  const stamp = stamps(hardware, randomStream(options.seed, 'stamps'));
  const splitter = new LineSplitter();
  const sender = lineSender(wire);
  const faults: FaultSchedule = faultSchedule(options.faults);
  const { cell } = hardware;
  const declared_Hz: Record<ChannelKind, number> = { force: 0, position: 0, temperature: 0 };
  const guard = driveGuard(() => ({
    lease_s,
    conversion_s: 1 / declared_Hz.force,
    counts_min: cell.counts_min,
    counts_max: cell.counts_max,
    zero_counts: cell.zero_counts,
    overload_counts: hardware.overload_N * cell.counts_per_N,
  }));
  let bootTime_s = 0;
  let bannerAt_s = never;
  let sampling = false;
  let untold = 0;
  let toldAt_s = 0;
  let pushUntil_s = never;
  let settling = 0;
  let unpluggedUntil_s = Number.NEGATIVE_INFINITY;

  function say(frame: UnnumberedFrame) {
    sender.say(frame, rig.time_s);
  }

  function clock_us(time_s: number, delay_s: number): number {
    return (stamp(time_s - bootTime_s, delay_s) + options.clockAtBoot_us) % 4294967296;
  }

  function tell(event: EventName, value: number) {
    say({ type: 'event', deviceTime_us: clock_us(rig.time_s, 0), event, value });
  }

  function sampleFrame(kind: ChannelKind, time_s: number, delay_s: number, counts: number): UnnumberedFrame {
    return { type: 'sample', kind, deviceTime_us: clock_us(time_s, delay_s), counts };
  }

  function stream(kind: ChannelKind, time_s: number, delay_s: number, counts: number) {
    if (!sampling) return;
    if (!sender.offer(sampleFrame(kind, time_s, delay_s, counts), time_s)) untold++;
    else if (untold > 0 && time_s - toldAt_s > overrunNotice_s) {
      toldAt_s = time_s;
      tell('overrun', untold);
      untold = 0;
    }
  }

  const sink = {
    force(time_s: number, counts: number) {
      let read = counts;
      if (settling > 0) {
        settling--;
        if (settling < 4) return;
        // Three clock pulses lost shift 24 bits by three places.
        read = (counts << 11) >> 8;
      }
      stopFor(guard.lookAtForce(time_s, read));
      stream('force', time_s, cell.declaredDelay_s, read);
    },
    position(time_s: number, counts: number) {
      stream('position', time_s, hardware.position.declaredDelay_s, counts);
    },
    temperature(time_s: number, milli_degC: number) {
      stream('temperature', time_s, 0, milli_degC);
    },
  };

  function stopFor(trip: Trip | null) {
    if (!trip) return;
    rig.drive.command(0);
    tell(trip.event, trip.value);
  }

  function reset(delay_s: number) {
    sampling = false;
    rig.drive.command(0);
    guard.release();
    guard.rearm();
    bannerAt_s = rig.time_s + delay_s;
  }

  /** Clock and line numbers begin anew, with a newline first to end whatever the reset cut. */
  function boot() {
    bannerAt_s = never;
    bootTime_s = rig.time_s;
    untold = 0;
    sender.restart();
    useDeclaredRates();
    wire.sendRaw(Uint8Array.of(0x0a));
    tell('boot', 0);
  }

  function useDeclaredRates() {
    setRate('force', cell.declared_Hz);
    setRate('position', hardware.position.declared_Hz);
    setRate('temperature', hardware.temperature.declared_Hz);
  }

  function setRate(kind: ChannelKind, rate_Hz: number) {
    if (declared_Hz[kind] === rate_Hz) return;
    declared_Hz[kind] = rate_Hz;
    if (kind === 'force') rig.setForceRate(rate_Hz);
    else if (kind === 'position') rig.setPositionRate(rate_Hz);
    else rig.setTemperatureRate(rate_Hz);
  }

  function befall(fault: SimulatedFault) {
    switch (fault.kind) {
      case 'drop-lines':
        wire.loseLines = fault.count;
        break;
      case 'flip-bit':
        wire.damageNext = true;
        break;
      case 'reset':
        sender.sayHalf(sampleFrame('force', rig.time_s, 0, 0));
        reset(boot_s);
        break;
      case 'silence':
        wire.silentUntil_s = rig.time_s + fault.for_s;
        break;
      case 'push':
        rig.disturbance_N = fault.force_N;
        pushUntil_s = rig.time_s + fault.for_s;
        break;
      case 'operator-stop':
        stopFor(guard.trip({ event: 'operator-stop', value: 0 }));
        break;
      case 'converter-lapse':
        settling = 5;
        break;
      case 'unplug':
        unpluggedUntil_s = rig.time_s + fault.for_s;
        reset(fault.for_s);
        break;
    }
  }

  function endPush() {
    rig.disturbance_N = 0;
    pushUntil_s = never;
  }

  function answer(command: HostCommand | SkippedLine) {
    if (command.type === 'skipped') return refuseUnread(command);
    if (command.type === 'beat') return guard.renew(rig.time_s);
    const { type, tag } = command;
    const outcome = obey(command);
    if (typeof outcome === 'string') say({ type: 'refusal', command: type, tag, code: outcome });
    else say({ type: 'reply', command: type, tag, fields: outcome });
  }

  function refuseUnread({ reason }: SkippedLine) {
    if (reason === 'empty') return;
    const code =
      reason === 'unknown-type'
        ? 'unknown-command'
        : reason === 'malformed'
          ? 'bad-argument'
          : 'bad-checksum';
    say({ type: 'refusal', command: 'unreadable', tag: 0, code });
  }

  /** Does a command; returns the further fields of its reply, or why not. */
  function obey(command: HostCommand): readonly string[] | RefusalCode {
    switch (command.type) {
      case 'identify':
        for (const frame of identityFrames(hardware, declared_Hz)) say(frame);
        return [];
      case 'start':
        if (sampling) return 'busy';
        sampling = true;
        sender.forget();
        faults.start(rig.time_s);
        return [];
      case 'stop':
        if (!sampling) return 'not-running';
        sampling = false;
        return [String(sender.dropped)];
      case 'rate': {
        if (sampling) return 'busy';
        const rate_Hz = command.rate_mHz / 1000;
        const [slowest, fastest] = rateLimits_Hz[command.kind];
        if (rate_Hz < slowest || rate_Hz > fastest) return 'bad-argument';
        setRate(command.kind, rate_Hz);
        return [];
      }
      case 'drive':
        return turn(command.speed_mHz / 1000);
      case 'halt':
        guard.release();
        rig.drive.command(0);
        return [];
      case 'tare':
        tell('tare', command.tag);
        return [];
      case 'beat':
        return [];
    }
  }

  function turn(speed_rev_per_s: number): readonly string[] | RefusalCode {
    if (guard.tripped) return 'tripped';
    if (speed_rev_per_s < hardware.speedMin_rev_per_s || speed_rev_per_s > hardware.speedMax_rev_per_s)
      return 'bad-argument';
    guard.engage(rig.time_s);
    rig.drive.command(speed_rev_per_s);
    return [];
  }

  useDeclaredRates();
  return {
    open() {
      if (options.opening === 'nothing') return;
      if (options.opening === 'boot-loader') wire.sendRaw(Uint8Array.of(0x14, 0x10));
      reset(options.opening === 'boot-loader' ? bootLoader_s : boot_s);
    },
    receive(bytes) {
      // Before the banner a boot loader swallows everything.
      if (bannerAt_s === never)
        splitter.push(bytes, (line, start, end) => answer(decodeHostLine(line, start, end)));
    },
    playUntil(time_s) {
      while (rig.time_s < time_s) {
        const stop_s = Math.min(time_s, faults.next_s, bannerAt_s, guard.leaseEnd_s, pushUntil_s);
        rig.playUntil(stop_s, sampling || !rig.drive.atRest ? sink : null);
        if (rig.time_s >= bannerAt_s) boot();
        if (rig.time_s >= pushUntil_s) endPush();
        stopFor(guard.lookAtTime(rig.time_s));
        for (let fault = faults.take(rig.time_s); fault; fault = faults.take(rig.time_s)) befall(fault);
      }
    },
    rearm() {
      if (guard.rearm()) tell('rearmed', 0);
    },
    get quiet() {
      return !sampling && rig.drive.atRest && bannerAt_s === never && faults.next_s === never;
    },
    get unpluggedUntil_s() {
      return unpluggedUntil_s;
    },
  };
}
