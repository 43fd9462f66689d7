import { readFileSync } from 'node:fs';
import type { DeviceFrame, HostCommand, SkippedLine, SkipReason } from '../../../firmware-protocol/index.js';

export const headerFile = new URL('../../../firmware-protocol/vectors/vectors.h', import.meta.url);

interface Named {
  readonly name: string;
  readonly line: string;
}
interface Accept<Frame> extends Named {
  readonly frame: Frame;
  readonly canonical?: false;
}
interface Reject extends Named {
  readonly reason: SkipReason;
}

const read = (name: string) => JSON.parse(readFileSync(new URL(`${name}.json`, headerFile), 'utf8'));

/** Reasons that a line is passed over without a look at what it says. */
const envelopeReasons: readonly SkipReason[] = [
  'empty',
  'too-long',
  'bad-character',
  'no-checksum',
  'bad-checksum',
];

/**
 * The vectors as lists for C and C++, so that an implementation there runs the same ones: each list is a macro that
 * calls another with every vector's values. Left out is what only a host can be asked.
 */
export function vectorsHeader(): string {
  const accept: { device: Accept<DeviceFrame>[]; host: Accept<HostCommand>[] } = read('accept');
  const reject: { device: Reject[]; host: Reject[] } = read('reject');
  const checksums: { name: string; text: string; crc: string }[] = read('checksum').vectors;
  const streams: { name: string; stream_hex: string; results: (DeviceFrame | SkippedLine)[] }[] =
    read('resynchronise').streams;

  const written = (type: DeviceFrame['type']) =>
    accept.device.filter(({ frame, canonical }) => frame.type === type && canonical !== false);
  const lists: [name: string, arguments_: string, calls: string[][]][] = [
    [
      'CHECKSUMS',
      'name, text, length, checksum',
      checksums.map(({ name, text, crc }) => [quoted(name), ...sized(text), `0x${crc}`]),
    ],
    [
      'SAMPLES',
      'name, line, length, letter, sequence, time_us, counts',
      written('sample').map(({ name, line, frame }) => {
        if (frame.type !== 'sample') throw new TypeError(frame.type);
        return [
          ...head(name, line),
          `'${frame.kind[0]!.toUpperCase()}'`,
          `${frame.sequence}`,
          `${frame.deviceTime_us}u`,
          signed(frame.counts),
        ];
      }),
    ],
    [
      'EVENTS',
      'name, line, length, sequence, time_us, event, value',
      written('event').map(({ name, line, frame }) => {
        if (frame.type !== 'event') throw new TypeError(frame.type);
        return [
          ...head(name, line),
          `${frame.sequence}`,
          `${frame.deviceTime_us}u`,
          identifier(frame.event),
          signed(frame.value),
        ];
      }),
    ],
    [
      'REPLIES',
      'name, line, length, sequence, command, tag',
      written('reply').flatMap(({ name, line, frame }) =>
        frame.type === 'reply' && frame.fields.length === 0
          ? [[...head(name, line), `${frame.sequence}`, identifier(frame.command), `${frame.tag}`]]
          : [],
      ),
    ],
    [
      'REFUSALS',
      'name, line, length, sequence, command, tag, code',
      written('refusal').map(({ name, line, frame }) => {
        if (frame.type !== 'refusal') throw new TypeError(frame.type);
        const { sequence, command, tag, code } = frame;
        return [...head(name, line), `${sequence}`, identifier(command), `${tag}`, identifier(code)];
      }),
    ],
    [
      'IDENTITIES',
      'name, line, length, sequence, firmware, rig, channels, drive',
      written('identity').map(({ name, line, frame }) => {
        if (frame.type !== 'identity') throw new TypeError(frame.type);
        const texts = [quoted(frame.firmware), quoted(frame.rigName)];
        return [...head(name, line), `${frame.sequence}`, ...texts, `${frame.channelCount}`, frame.drive];
      }),
    ],
    [
      'CHANNELS',
      'name, line, length, sequence, kind, unit, counts_min, counts_max, rate_mHz, delay_us, kernel',
      written('channel').map(({ name, line, frame }) => {
        if (frame.type !== 'channel') throw new TypeError(frame.type);
        return [
          ...head(name, line),
          `${frame.sequence}`,
          frame.kind,
          frame.unit,
          signed(frame.counts_min),
          signed(frame.counts_max),
          `${frame.rate_mHz}u`,
          signed(frame.delay_us),
          identifier(frame.kernel),
        ];
      }),
    ],
    [
      'DRIVES',
      'name, line, length, sequence, slowest_mHz, fastest_mHz, lease_ms',
      written('drive').map(({ name, line, frame }) => {
        if (frame.type !== 'drive') throw new TypeError(frame.type);
        const numbers = [frame.speedMin_mHz, frame.speedMax_mHz, frame.lease_ms];
        return [...head(name, line), `${frame.sequence}`, ...numbers.map((number) => `${number}u`)];
      }),
    ],
    [
      'HOST_LINES',
      'name, line, length, command, tag, kind, value_mHz',
      accept.host.map(({ name, line, frame }) => [
        ...head(name, line),
        identifier(frame.type),
        `${frame.tag}`,
        frame.type === 'rate' ? frame.kind : 'force',
        `${frame.type === 'rate' ? frame.rate_mHz : frame.type === 'drive' ? frame.speed_mHz : 0}u`,
      ]),
    ],
    [
      'HOST_FAULTS',
      'name, line, length, fault',
      reject.host.map(({ name, line, reason }) => [...head(name, line), identifier(reason)]),
    ],
    [
      'ENVELOPES',
      'name, line, length, fault',
      [
        ...reject.device,
        ...accept.device.map(({ name, line }) => ({ name, line, reason: 'none' as SkipReason })),
      ].map(({ name, line, reason }) => [
        ...head(name, line),
        envelopeReasons.includes(reason) ? identifier(reason) : 'none',
      ]),
    ],
    [
      'STREAMS',
      'name, bytes, length, lines, faults (one more, so that there is one)',
      streams.map(({ name, stream_hex, results }) => {
        const text = String.fromCharCode(...Buffer.from(stream_hex, 'hex'));
        const faults = results.map((result) =>
          result.type === 'skipped' && envelopeReasons.includes(result.reason)
            ? identifier(result.reason)
            : 'none',
        );
        const list = [...faults, 'none'].map((fault) => `Fault::${fault}`).join(', ');
        return [quoted(name), ...sized(text), `${faults.length}`, `(${list})`];
      }),
    ],
  ];
  return `${opening}\n${lists.map(macro).join('\n')}`;
}

const opening = `/* Made from the JSON files beside this one, which are the only source: do not edit.
 * REWRITE_VECTORS=1 npx vitest run tests/firmware/vectors makes it anew; a test checks that it is current.
 * Each list calls V once for every vector. Lines are without their newline; \`length\` counts their bytes.
 */
#pragma once
`;

function macro([name, arguments_, calls]: [string, string, string[][]]): string {
  const lines = calls.map((call) => `  V(${call.join(', ')})`);
  return `/* V(${arguments_}) */\n#define DASHPOT_${name}(V) \\\n${lines.join(' \\\n')}\n`;
}

const head = (name: string, line: string) => [quoted(name), ...sized(line)];
const sized = (text: string) => [quoted(text), `${text.length}`];
const identifier = (name: string) => name.replaceAll('-', '_');
/** A literal for the smallest number would be read as the negative of one that is too large. */
const signed = (value: number) => (value === -(2 ** 31) ? '(-2147483647 - 1)' : `${value}`);

/** Text as a C literal, one character a byte; octal escapes, which end after three digits. */
function quoted(text: string): string {
  const escaped = Array.from(text, (c) => {
    const code = c.charCodeAt(0);
    if (c === '"' || c === '\\' || c === '?') return `\\${c}`;
    return code >= 0x20 && code <= 0x7e ? c : `\\${code.toString(8).padStart(3, '0')}`;
  });
  return `"${escaped.join('')}"`;
}
