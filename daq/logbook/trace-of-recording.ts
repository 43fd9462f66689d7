import type { RigDescription, TraceInput } from '../../analysis/index.js';
import type { ChannelKind } from '../../firmware-protocol/index.js';
import { type Calibration, isReadable, valuesFromCounts } from '../calibration.js';
import { trustedSamples } from '../clock/trusted-samples.js';
import { channelOf, type RigIdentity } from '../link/rig-identity.js';
import type { ChannelTrust, StoredChannel } from './entities.js';

/**
 * Turns stored channels into what the analysis takes: true instants in s (device time less the channel's
 * constant delay), N, m and °C. Samples that cannot be trusted are left out here, on reading, and counted;
 * the logbook keeps them.
 * @param channels as stored, at most one of a kind
 * @param identity what the rig declared, null for imported files
 * @param manual_degC what somebody read off a thermometer; stands for the whole recording where no sensor was
 */
export function traceOfRecording(
  channels: readonly StoredChannel[],
  calibration: Calibration,
  identity: RigIdentity | null,
  manual_degC: number | null = null,
): { trace: TraceInput; trust: ChannelTrust[] } {
  const trust: ChannelTrust[] = [];
  const series = (kind: ChannelKind) => {
    const channel = channels.find((stored) => stored.kind === kind);
    if (!channel || ('counts' in channel && !isReadable(channel)))
      return { time_s: new Float64Array(0), values: new Float64Array(0) };
    if (!('counts' in channel)) return { time_s: channel.times_s, values: channel.values };
    const declared = identity && channelOf(identity, kind);
    const declaredPeriod_us = declared ? 1e9 / declared.rate_mHz : Number.NaN;
    const times_us = channel.deviceTimes_us;
    const trusted = trustedSamples(times_us, kind === 'force', declaredPeriod_us);
    const { indices, missing, doubted, disordered, period_us } = trusted;
    const period_s = Number.isFinite(period_us) ? period_us / 1e6 : null;
    trust.push({ kind, samples: indices.length, missing, doubted, disordered, period_s });
    const delay_us = declared?.delay_us ?? 0;
    const time_s = new Float64Array(indices.length);
    const counts = new Int32Array(indices.length);
    for (let i = 0; i < indices.length; i++) {
      time_s[i] = (times_us[indices[i]!]! - delay_us) / 1e6;
      counts[i] = channel.counts[indices[i]!]!;
    }
    return { time_s, values: valuesFromCounts(kind, counts, calibration) };
  };
  const force = series('force');
  const position = series('position');
  const measured = series('temperature');
  const temperature =
    measured.time_s.length === 0 && manual_degC !== null
      ? heldThroughout(force.time_s, manual_degC)
      : measured;
  return {
    trace: {
      force: { time_s: force.time_s, force_N: force.values },
      position: { time_s: position.time_s, position_m: position.values },
      temperature: { time_s: temperature.time_s, temperature_degC: temperature.values },
      rig: rigDescription(identity, calibration, trust),
    },
    trust,
  };
}

/** One value from the first sample to the last. */
function heldThroughout(time_s: Float64Array, value: number) {
  const ends = time_s.length > 1 ? Float64Array.of(time_s[0]!, time_s.at(-1)!) : time_s;
  return { time_s: ends, values: ends.map(() => value) };
}

function rigDescription(
  identity: RigIdentity | null,
  calibration: Calibration,
  trust: readonly ChannelTrust[],
): Partial<RigDescription> {
  const samplesMissing = trust
    .filter(({ kind }) => kind !== 'temperature')
    .reduce((sum, { missing, doubted, disordered }) => sum + missing + doubted + disordered, 0);
  const channel = identity && channelOf(identity, 'force');
  const known = {
    lag: calibration.lag ?? null,
    samplesMissing,
    linesUnchecked: identity?.unchecked === true,
  };
  if (!channel) return known;
  // A cell wired the other way round has a negative slope, and its limits change places.
  const limits_N = valuesFromCounts(
    'force',
    [channel.counts_min, channel.counts_max],
    calibration,
  ).toSorted();
  return {
    kernel: channel.kernel === 'unknown' ? null : channel.kernel,
    conversionPeriod_s: trust.find(({ kind }) => kind === 'force')?.period_s ?? 1e3 / channel.rate_mHz,
    forceLow_N: limits_N[0]!,
    forceHigh_N: limits_N[1]!,
    ...known,
  };
}
