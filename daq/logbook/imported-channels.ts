import type { TraceInput } from '../../analysis/index.js';
import type { ImportedChannel } from './entities.js';

/** The channels of a trace as the logbook keeps them, float64 for float64. */
export function importedChannels({ force, position, temperature }: TraceInput): ImportedChannel[] {
  const channels: ImportedChannel[] = [
    { kind: 'force', unit: 'N', times_s: force.time_s, values: force.force_N },
    { kind: 'position', unit: 'm', times_s: position.time_s, values: position.position_m },
  ];
  if (temperature)
    channels.push({
      kind: 'temperature',
      unit: 'degC',
      times_s: temperature.time_s,
      values: temperature.temperature_degC,
    });
  return channels;
}
