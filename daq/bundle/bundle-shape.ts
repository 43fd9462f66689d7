import * as z from 'zod';
import { CHANNEL_KERNELS, CHANNEL_KINDS, CHANNEL_UNITS, EVENT_NAMES } from '../../firmware-protocol/index.js';
import { BUNDLE_FORMAT, BUNDLE_VERSION } from './bundle-format.js';

const number = z.number({ error: 'a number' });
const count = z.int({ error: 'a whole number' }).min(0, { error: 'a whole number from 0' });
const text = z.string({ error: 'a text' });
const time = z.iso.datetime({ error: 'a UTC time as ISO 8601' });
const properties = z.record(z.string(), z.union([z.string(), z.number(), z.boolean()]), {
  error: 'texts, numbers and true or false by name',
});
const kind = z.enum(CHANNEL_KINDS, { error: `one of ${CHANNEL_KINDS.join(', ')}` });

const identity = z.object({
  protocolVersion: count,
  firmware: text,
  rigName: text,
  channels: z.array(
    z.object({
      kind,
      unit: z.enum(CHANNEL_UNITS),
      counts_min: number,
      counts_max: number,
      rate_mHz: count,
      delay_us: number,
      kernel: z.enum(CHANNEL_KERNELS),
    }),
  ),
  drive: z.object({ speedMin_mHz: count, speedMax_mHz: count, lease_ms: count }).nullable(),
  unchecked: z.literal(true).exactOptional(),
});

const procedure = z.object({
  name: z.enum([
    'speed-ladder',
    'slow-sweep',
    'travel-sweep',
    'spring-pull',
    'lag-check',
    'warm-up',
    'unknown',
  ]),
  steps: z.array(
    z.object({
      speed_rev_per_s: number.nullable(),
      duration_s: number,
      toEnd: z.boolean().exactOptional(),
      settle_s: number.exactOptional(),
      turns: number.exactOptional(),
      until_degC: number.exactOptional(),
    }),
  ),
  duration_s: number.nullable(),
  movedBy: z.enum(['drive', 'hand']).exactOptional(),
  happened: z.array(
    z.object({
      speed_rev_per_s: number.nullable(),
      start_s: number,
      end_s: number,
      turns: number.exactOptional(),
      measured_rev_per_s: number.nullable().exactOptional(),
    }),
  ),
  events: z.array(z.object({ time_s: number, event: z.enum(EVENT_NAMES), value: number })),
});

const statistics = z.object({
  linesDecoded: count,
  linesMissing: count,
  linesDuplicated: count,
  linesSkipped: z.record(z.string(), count),
  linesDroppedByDevice: count.nullable(),
  bytesFlooded: count,
});

const calibration = z.object({
  force: z.object({
    newton_per_count: number,
    zero_counts: number,
    standardUncertainty_newton_per_count: number.nullable().exactOptional(),
    bend_per_N: number.exactOptional(),
    standardUncertainty_N: number.nullable().exactOptional(),
  }),
  position: z.object({
    metre_per_count: number,
    zero_counts: number,
    standardUncertainty_metre_per_count: number.nullable().exactOptional(),
    bend_per_m: number.exactOptional(),
    standardUncertainty_m: number.nullable().exactOptional(),
    crank: z.object({ radius_m: number, rod_m: number, counts_per_revolution: number }).exactOptional(),
  }),
  lag: z.object({ value_s: number, standardUncertainty_s: number }).exactOptional(),
  movingMass: z.object({ value_kg: number, standardUncertainty_kg: number }).exactOptional(),
});

/** What stands in a bundle's recording.json; the samples are in the files it names. */
export const bundleShape = z.object(
  {
    format: z.literal(BUNDLE_FORMAT, { error: `'${BUNDLE_FORMAT}'` }),
    version: z.literal(BUNDLE_VERSION, {
      error: `version ${BUNDLE_VERSION}, or a newer program for a newer bundle`,
    }),
    shock: z.object({ name: text, properties }),
    build: z.object({
      name: text,
      parentName: text.nullable(),
      change: text,
      properties,
      /** What it was made from and inherits of, the oldest first; bundles of older programs name the parent alone. */
      ancestors: z.array(z.object({ name: text, change: text, properties })).exactOptional(),
    }),
    recording: z.object({
      startedAt: time,
      remount: count.min(1),
      state: z.enum(['complete', 'interrupted', 'discarded'], {
        error: 'complete, interrupted or discarded',
      }),
      stateReason: text,
      procedure,
      identity: identity.nullable(),
      statistics: statistics.nullable(),
      simulated: z.boolean(),
      seed: z.int().nullable(),
      source: text.nullable(),
      /** When the recording began of which this is a further segment. */
      continuesStartedAt: time.exactOptional(),
      /** What somebody read off a thermometer, where there was no sensor. */
      manualTemperature_degC: number.exactOptional(),
    }),
    /** Null where the values are N and m already. */
    calibration: z.object({ note: text, createdAt: time, calibration }).nullable(),
    channels: z.array(
      z.object({
        kind,
        unit: z.enum(['counts', 'mdegC', 'N', 'm', 'degC'], { error: 'counts, mdegC, N, m or degC' }),
        samples: count,
      }),
    ),
  },
  { error: 'a recording as this program exports it' },
);

export type BundleDescription = z.infer<typeof bundleShape>;
