import { oneOfNames, uint8, uint32 } from './fields.js';
import {
  CHANNEL_KINDS,
  type DriveCommand,
  type HostCommand,
  type PlainCommand,
  type RateCommand,
} from './frames.js';
import { type LineForm, lineForm } from './line-form.js';

const plainWords = [
  ['identify', 'ID'],
  ['start', 'START'],
  ['stop', 'STOP'],
  ['tare', 'TARE'],
  ['halt', 'HALT'],
  ['beat', 'BEAT'],
] as const satisfies readonly (readonly [PlainCommand['type'], string])[];

/** Every command with its word on the wire, as replies quote it too. */
export const commandWords: readonly (readonly [HostCommand['type'], string])[] = [
  ...plainWords,
  ['rate', 'RATE'],
  ['drive', 'DRIVE'],
];

/** Every line a host sends. */
export const hostLines: readonly LineForm[] = [
  ...plainWords.map(([type, word]) => lineForm<PlainCommand, 'type'>(word, { type }, { tag: uint8 })),
  lineForm<RateCommand, 'type'>(
    'RATE',
    { type: 'rate' },
    { tag: uint8, kind: oneOfNames(CHANNEL_KINDS), rate_mHz: uint32 },
  ),
  lineForm<DriveCommand, 'type'>('DRIVE', { type: 'drive' }, { tag: uint8, speed_mHz: uint32 }),
];
