import type { TraceInput } from '../../analysis/index.js';
import type { ChannelKind } from '../../firmware-protocol/index.js';
import { type Calibration, isReadable, valuesFromCounts } from '../calibration.js';
import { channelOf, type RigIdentity } from '../link/rig-identity.js';
import type { RawChannel } from '../logbook/entities.js';

/** What has just been sampled, for looking at: times in s from the recording's first sample, N, m and °C. */
export type LiveSamples = Required<Pick<TraceInput, 'force' | 'position' | 'temperature'>>;

/** Turns fresh counts into units as they are, without asking which of them will be trusted. */
export function liveSamples(
  channels: readonly RawChannel[],
  calibration: Calibration,
  identity: RigIdentity,
  first_us: number,
): LiveSamples {
  const timesAndValues = (kind: ChannelKind) => {
    const channel = channels.find((fresh) => fresh.kind === kind && isReadable(fresh));
    const origin_us = first_us + (channelOf(identity, kind)?.delay_us ?? 0);
    return {
      time_s: (channel?.deviceTimes_us ?? new Float64Array(0)).map((time_us) => (time_us - origin_us) / 1e6),
      values: valuesFromCounts(kind, channel?.counts ?? [], calibration),
    };
  };
  const force = timesAndValues('force');
  const position = timesAndValues('position');
  const temperature = timesAndValues('temperature');
  return {
    force: { time_s: force.time_s, force_N: force.values },
    position: { time_s: position.time_s, position_m: position.values },
    temperature: { time_s: temperature.time_s, temperature_degC: temperature.values },
  };
}
