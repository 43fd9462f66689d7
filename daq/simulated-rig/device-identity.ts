import { type ChannelKind, PROTOCOL_VERSION } from '../../firmware-protocol/index.js';
import type { UnnumberedFrame } from './line-sender.js';
import type { RigHardware } from './rig-hardware.js';

/** How long the drive runs on without hearing from the host. */
export const lease_s = 1;

/** Conversion rates a `RATE` command may ask for. */
export const rateLimits_Hz: Readonly<Record<ChannelKind, readonly [slowest: number, fastest: number]>> = {
  force: [10, 1000],
  position: [10, 2000],
  temperature: [0.1, 10],
};

/**
 * What the device says about itself when asked.
 * @param hardware what its firmware would know of the rig: limits, declared delays, kernel
 * @param declared_Hz rates now in force
 * @returns identity, one line per channel, drive; in the order of sending
 */
export function identityFrames(
  hardware: RigHardware,
  declared_Hz: Readonly<Record<ChannelKind, number>>,
): UnnumberedFrame[] {
  const { cell, position, temperature } = hardware;
  const thousandths = (value: number) => Math.round(1000 * value);
  return [
    {
      type: 'identity',
      protocolVersion: PROTOCOL_VERSION,
      firmware: 'simulated rig 1',
      rigName: 'simulated rig',
      channelCount: 3,
      drive: 'speed',
    },
    {
      type: 'channel',
      kind: 'force',
      unit: 'counts',
      counts_min: cell.counts_min,
      counts_max: cell.counts_max,
      rate_mHz: thousandths(declared_Hz.force),
      delay_us: Math.round(1e6 * cell.declaredDelay_s),
      kernel: cell.kernel,
    },
    {
      type: 'channel',
      kind: 'position',
      unit: 'counts',
      counts_min: 0,
      counts_max: position.counts_max,
      rate_mHz: thousandths(declared_Hz.position),
      delay_us: Math.round(1e6 * position.declaredDelay_s),
      kernel: 'none',
    },
    {
      type: 'channel',
      kind: 'temperature',
      unit: 'mdegC',
      counts_min: temperature.min_mdegC,
      counts_max: temperature.max_mdegC,
      rate_mHz: thousandths(declared_Hz.temperature),
      delay_us: 0,
      kernel: 'unknown',
    },
    {
      type: 'drive',
      speedMin_mHz: thousandths(hardware.speedMin_rev_per_s),
      speedMax_mHz: thousandths(hardware.speedMax_rev_per_s),
      lease_ms: thousandths(lease_s),
    },
  ];
}
