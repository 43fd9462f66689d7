/** What the lines of the protocol mean. PROTOCOL.md says when each is sent and what its numbers promise. */

export const PROTOCOL_VERSION = 1;

/** Longest line that anyone sends or accepts: all bytes before the newline. */
export const MAX_LINE_BYTES = 120;

export const CHANNEL_KINDS = ['force', 'position', 'temperature'] as const;
export type ChannelKind = (typeof CHANNEL_KINDS)[number];

export const CHANNEL_UNITS = ['counts', 'mdegC'] as const;
export type ChannelUnit = (typeof CHANNEL_UNITS)[number];

/** How a converter averages: a filter over whole conversions, or no statement about it. */
export const CHANNEL_KERNELS = ['none', 'one-conversion', 'sinc3', 'sinc4', 'unknown'] as const;
export type ChannelKernel = (typeof CHANNEL_KERNELS)[number];

export const DRIVE_KINDS = ['none', 'speed'] as const;
export type DriveKind = (typeof DRIVE_KINDS)[number];

export const EVENT_NAMES = [
  'boot',
  'overrun',
  'overload',
  'end-switch',
  'operator-stop',
  'lease-lost',
  'sensor-fault',
  'rearmed',
  'tare',
] as const;
export type EventName = (typeof EVENT_NAMES)[number];

export const REFUSAL_CODES = [
  'unknown-command',
  'bad-argument',
  'no-drive',
  'tripped',
  'not-running',
  'busy',
  'bad-checksum',
] as const;
export type RefusalCode = (typeof REFUSAL_CODES)[number];

interface Sequenced {
  /** 0..65535, one counter over every line the device wanted to send; a dropped line shows as a gap. */
  readonly sequence: number;
}

export interface IdentityFrame extends Sequenced {
  readonly type: 'identity';
  readonly protocolVersion: number;
  readonly firmware: string;
  readonly rigName: string;
  /** How many channel lines follow. */
  readonly channelCount: number;
  readonly drive: DriveKind;
}

export interface ChannelFrame extends Sequenced {
  readonly type: 'channel';
  readonly kind: ChannelKind;
  readonly unit: ChannelUnit;
  /** Limits of the converter; a sample at or beyond one of them is saturated. */
  readonly counts_min: number;
  readonly counts_max: number;
  readonly rate_mHz: number;
  /** True instant = device time - delay; this is beyond the delay of the kernel itself and may be negative. */
  readonly delay_us: number;
  readonly kernel: ChannelKernel;
}

/** Crank speeds in thousandths of a revolution per second. */
export interface DriveFrame extends Sequenced {
  readonly type: 'drive';
  readonly speedMin_mHz: number;
  readonly speedMax_mHz: number;
  readonly lease_ms: number;
}

export interface SampleFrame extends Sequenced {
  readonly type: 'sample';
  readonly kind: ChannelKind;
  /** 32 bits, wraps after 71.6 minutes. */
  readonly deviceTime_us: number;
  readonly counts: number;
}

export interface EventFrame extends Sequenced {
  readonly type: 'event';
  readonly deviceTime_us: number;
  readonly event: EventName;
  /** What it counts depends on the event; see PROTOCOL.md. */
  readonly value: number;
}

export interface ReplyFrame extends Sequenced {
  readonly type: 'reply';
  readonly command: HostCommand['type'];
  readonly tag: number;
  readonly fields: readonly string[];
}

export interface RefusalFrame extends Sequenced {
  readonly type: 'refusal';
  /** 'unreadable' (with tag 0) where the device could not read which command it was. */
  readonly command: HostCommand['type'] | 'unreadable';
  readonly tag: number;
  readonly code: RefusalCode;
}

export type DeviceFrame =
  | IdentityFrame
  | ChannelFrame
  | DriveFrame
  | SampleFrame
  | EventFrame
  | ReplyFrame
  | RefusalFrame;

/** A command without arguments; `tag` (0..255) comes back in its reply. */
export interface PlainCommand {
  readonly type: 'identify' | 'start' | 'stop' | 'tare' | 'halt' | 'beat';
  readonly tag: number;
}

export interface RateCommand {
  readonly type: 'rate';
  readonly tag: number;
  readonly kind: ChannelKind;
  readonly rate_mHz: number;
}

export interface DriveCommand {
  readonly type: 'drive';
  readonly tag: number;
  readonly speed_mHz: number;
}

export type HostCommand = PlainCommand | RateCommand | DriveCommand;

/** Why a line was passed over, in the order in which the reasons are tested. */
export type SkipReason =
  | 'empty'
  | 'too-long'
  | 'bad-character'
  | 'no-checksum'
  | 'bad-checksum'
  | 'unknown-type'
  | 'malformed';

export interface SkippedLine {
  readonly type: 'skipped';
  readonly reason: SkipReason;
}
