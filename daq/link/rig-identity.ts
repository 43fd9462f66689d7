import type { ChannelKernel, ChannelKind, ChannelUnit } from '../../firmware-protocol/index.js';

/** What a rig says it is and can do; stored with every recording as it was said. */
export interface RigIdentity {
  readonly protocolVersion: number;
  readonly firmware: string;
  readonly rigName: string;
  readonly channels: readonly ChannelIdentity[];
  readonly drive: DriveIdentity | null;
  /** Its lines carry neither checksum nor number: damaged ones pass for right, and lost ones leave no trace. */
  readonly unchecked?: true;
}

export interface ChannelIdentity {
  readonly kind: ChannelKind;
  readonly unit: ChannelUnit;
  /** Limits of the converter. */
  readonly counts_min: number;
  readonly counts_max: number;
  /** Samples per second in thousandths, as the rig believes; its oscillator may be some per cent off. */
  readonly rate_mHz: number;
  /** True instant = device time - delay. */
  readonly delay_us: number;
  readonly kernel: ChannelKernel;
}

export interface DriveIdentity {
  readonly speedMin_mHz: number;
  readonly speedMax_mHz: number;
  /** The drive stops by itself when no heartbeat came for so long. */
  readonly lease_ms: number;
}

/** The rig's channel of one kind, or undefined where it has none. */
export function channelOf(identity: RigIdentity, kind: ChannelKind): ChannelIdentity | undefined {
  return identity.channels.find((channel) => channel.kind === kind);
}
