import { describe, expect, it } from 'vitest';
import {
  type DeviceFrame,
  encodeDeviceLine,
  encodeHostLine,
  type HostCommand,
  ProtocolError,
} from '../../firmware-protocol/index.js';

const sample = { type: 'sample', kind: 'force', sequence: 1, deviceTime_us: 2, counts: 3 } as const;
const identity = {
  type: 'identity',
  sequence: 1,
  protocolVersion: 1,
  firmware: 'bench',
  rigName: 'rig',
  channelCount: 2,
  drive: 'none',
} as const;
const reply = { type: 'reply', sequence: 1, command: 'stop', tag: 1, fields: [] } as const;

function codeOf(encode: () => unknown): string {
  try {
    encode();
  } catch (error) {
    if (error instanceof ProtocolError) return `${error.code}: ${error.message}`;
    throw error;
  }
  return 'encoded';
}

describe('a caller who asks for a line that cannot exist', () => {
  const impossible: [string, DeviceFrame][] = [
    ['a sequence past 16 bits', { ...sample, sequence: 65_536 }],
    ['a negative time', { ...sample, deviceTime_us: -1 }],
    ['a time past 32 bits', { ...sample, deviceTime_us: 2 ** 32 }],
    ['fractional counts', { ...sample, counts: 0.5 }],
    ['counts that are no number', { ...sample, counts: Number.NaN }],
    ['infinite counts', { ...sample, counts: Number.POSITIVE_INFINITY }],
    ['an empty name', { ...identity, rigName: '' }],
    ['a name with a comma', { ...identity, rigName: 'left,right' }],
    ['a name with a newline', { ...identity, firmware: 'bench\n' }],
    ['a name of 33 characters', { ...identity, firmware: 'f'.repeat(33) }],
    ['a word that is not listed', { ...identity, drive: 'torque' as 'none' }],
    ['a reply field with a comma', { ...reply, fields: ['1,2'] }],
    ['a reply field with an asterisk', { ...reply, fields: ['1*2'] }],
    ['a reply field with a newline', { ...reply, fields: ['1\n'] }],
    ['a reply field beyond ASCII', { ...reply, fields: ['20 °C'] }],
    ['a missing property', { ...sample, counts: undefined } as unknown as DeviceFrame],
  ];

  it.each(impossible)('is told so: %s', (_, frame) => {
    expect(codeOf(() => encodeDeviceLine(frame))).toMatch(
      /^unencodable-field: found .*, wanted .+, in [A-Z] \w+$/s,
    );
  });

  it('is told what was found, what is wanted, and where', () => {
    expect(codeOf(() => encodeHostLine({ type: 'drive', tag: 1, speed_mHz: 2.5 }))).toBe(
      'unencodable-field: found 2.5, wanted an integer from 0 to 4294967295, in DRIVE speed_mHz',
    );
    const command: HostCommand = { type: 'beat', tag: 256 };
    expect(codeOf(() => encodeHostLine(command))).toBe(
      'unencodable-field: found 256, wanted an integer from 0 to 255, in BEAT tag',
    );
  });

  it('is told the length of a line that is too long', () => {
    const atLimit = { ...reply, fields: ['x'.repeat(120 - 'A,1,STOP,1,*0000'.length)] };
    expect(codeOf(() => encodeDeviceLine(atLimit))).toBe('encoded');
    const past = { ...reply, fields: [`${atLimit.fields[0]}x`] };
    expect(codeOf(() => encodeDeviceLine(past))).toMatch(
      /^line-too-long: a line of 121 bytes where 120 are allowed/,
    );
  });
});
