import fc from 'fast-check';
import {
  CHANNEL_KERNELS,
  CHANNEL_KINDS,
  CHANNEL_UNITS,
  type DeviceFrame,
  DRIVE_KINDS,
  EVENT_NAMES,
  type HostCommand,
  REFUSAL_CODES,
} from '../../firmware-protocol/index.js';
import { accept } from './vectors.js';

/** Every property runs from this seed, so that a failure is found again. */
export const seeded = { seed: 20_261_125, numRuns: 2_000 };

const upTo = (max: number) =>
  fc.oneof(fc.integer({ min: 0, max }), fc.constantFrom(0, 1, 9, 10, max - 1, max));
const int32 = fc.oneof(
  fc.integer({ min: -0x8000_0000, max: 0x7fff_ffff }),
  fc.constantFrom(-0x8000_0000, -0x80_0000, -10, -1, 0, 1, 0x7f_ffff, 0x7fff_ffff),
);
const uint32 = upTo(0xffff_ffff);
const sequence = upTo(0xffff);
const tag = upTo(0xff);
const oneOf = <T>(values: readonly T[]) => fc.constantFrom(...values);
const charactersOf = (characters: string) => fc.constantFrom(...characters);
const name = fc.string({
  unit: charactersOf('ABCXYZabcxyz0189 ._/-'),
  minLength: 1,
  maxLength: 32,
});
const restText = fc.string({ unit: charactersOf(' !"#+-./09:AZ[_`az{|}~'), maxLength: 12 });
const plainTypes = ['identify', 'start', 'stop', 'tare', 'halt', 'beat'] as const;
const commandTypes = [...plainTypes, 'rate', 'drive'] as const;
const is = fc.constant;

export const deviceFrame: fc.Arbitrary<DeviceFrame> = fc.oneof(
  fc.record({
    type: is('identity' as const),
    sequence,
    protocolVersion: sequence,
    firmware: name,
    rigName: name,
    channelCount: tag,
    drive: oneOf(DRIVE_KINDS),
  }),
  fc.record({
    type: is('channel' as const),
    sequence,
    kind: oneOf(CHANNEL_KINDS),
    unit: oneOf(CHANNEL_UNITS),
    counts_min: int32,
    counts_max: int32,
    rate_mHz: uint32,
    delay_us: int32,
    kernel: oneOf(CHANNEL_KERNELS),
  }),
  fc.record({
    type: is('drive' as const),
    sequence,
    speedMin_mHz: uint32,
    speedMax_mHz: uint32,
    lease_ms: uint32,
  }),
  fc.record({
    type: is('sample' as const),
    sequence,
    kind: oneOf(CHANNEL_KINDS),
    deviceTime_us: uint32,
    counts: int32,
  }),
  fc.record({
    type: is('event' as const),
    sequence,
    deviceTime_us: uint32,
    event: oneOf(EVENT_NAMES),
    value: int32,
  }),
  fc.record({
    type: is('reply' as const),
    sequence,
    command: oneOf(commandTypes),
    tag,
    fields: fc.array(restText, { maxLength: 5 }),
  }),
  fc.record({
    type: is('refusal' as const),
    sequence,
    command: oneOf([...commandTypes, 'unreadable' as const]),
    tag,
    code: oneOf(REFUSAL_CODES),
  }),
);

export const hostCommand: fc.Arbitrary<HostCommand> = fc.oneof(
  fc.record({ type: oneOf(plainTypes), tag }),
  fc.record({ type: is('rate' as const), tag, kind: oneOf(CHANNEL_KINDS), rate_mHz: uint32 }),
  fc.record({ type: is('drive' as const), tag, speed_mHz: uint32 }),
);

const payloads = [...accept.device, ...accept.host].map(({ line }) => line.split('*')[0]);

/** Payloads that are nearly right: a good one with a few characters replaced, inserted or taken out. */
export const nearlyPayload: fc.Arbitrary<string> = fc
  .tuple(
    fc.constantFrom(...payloads),
    fc.array(
      fc.record({
        at: fc.nat({ max: 60 }),
        remove: fc.nat({ max: 2 }),
        insert: fc.string({ unit: charactersOf(',,-+0123456789FPTEAZ. ?'), maxLength: 2 }),
      }),
      { maxLength: 3 },
    ),
  )
  .map(([payload, edits]) =>
    edits
      .reduce((text, { at, remove, insert }) => {
        const place = at % (text.length + 1);
        return text.slice(0, place) + insert + text.slice(place + remove);
      }, payload)
      .slice(0, 115),
  );

/** Bytes as noise makes them, rich in those that mean something here. */
export const noise: fc.Arbitrary<Uint8Array> = fc
  .array(fc.oneof(fc.nat({ max: 255 }), fc.constantFrom(0x0a, 0x0d, 0x2a, 0x2c, 0x30, 0x46)), {
    maxLength: 400,
  })
  .map((values) => Uint8Array.from(values));

export const chunkLengths = fc.array(fc.integer({ min: 1, max: 150 }), { minLength: 1, maxLength: 20 });
