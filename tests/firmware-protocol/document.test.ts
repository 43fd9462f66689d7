import { describe, expect, it } from 'vitest';
import { deviceLines } from '../../firmware-protocol/device-lines.js';
import { hostLines } from '../../firmware-protocol/host-lines.js';
import {
  decodeDeviceLine,
  decodeHostLine,
  EVENT_NAMES,
  MAX_LINE_BYTES,
  PROTOCOL_VERSION,
  REFUSAL_CODES,
} from '../../firmware-protocol/index.js';
import { bytesOf, checksumVectors, reject, roomText } from './vectors.js';

const document = roomText('PROTOCOL.md');

const fenced = (language: string): string[] =>
  [...document.matchAll(new RegExp(`^\`\`\`${language}\\n(.*?)^\`\`\``, 'gms'))].map(([, block]) => block);

/** First column of the first table that follows a place in the document and is headed by the given cell. */
function firstColumn(heading: string, after: string): string[] {
  const lines = document.slice(document.indexOf(after)).split('\n');
  const firstCells = lines.map((line) => line.match(/^\| *(.*?) *\|/)?.[1]);
  const rows = firstCells.slice(firstCells.indexOf(heading) + 2);
  return rows.slice(0, rows.indexOf(undefined)).map((cell) => cell!.replaceAll('`', ''));
}

describe('PROTOCOL.md', () => {
  const session = fenced('session')[0].trimEnd().split('\n');
  const said = (arrow: string) =>
    session.filter((line) => line.startsWith(arrow)).map((line) => bytesOf(line.slice(2)));
  const frames = said('←').map((line) => decodeDeviceLine(line));

  it('shows a session of which every line decodes', () => {
    const commands = said('→').map((line) => decodeHostLine(line));
    expect(commands.map(({ type }) => type)).toEqual(['identify', 'start', 'drive', 'beat', 'halt', 'stop']);
    expect(new Set(frames.map(({ type }) => type))).toEqual(
      new Set(['event', 'identity', 'channel', 'drive', 'reply', 'sample']),
    );
    expect(frames[1]).toMatchObject({ protocolVersion: PROTOCOL_VERSION });
  });

  it('shows as many lines missing as its overrun event and its STOP reply say', () => {
    let missing = 0;
    frames.forEach((frame, i) => {
      if (frame.type === 'skipped') throw new Error(`line ${i + 1} of the session is ${frame.reason}`);
      const previous = frames[i - 1] as typeof frame | undefined;
      if (previous) missing += frame.sequence - previous.sequence - 1;
    });
    expect(missing).toBe(2);
    expect(frames.find((frame) => frame.type === 'event' && frame.event === 'overrun')).toMatchObject({
      value: missing,
    });
    expect(frames.at(-1)).toMatchObject({ type: 'reply', command: 'stop', fields: [`${missing}`] });
  });

  it('decodes its worked example to what it says', () => {
    const example = JSON.parse(fenced('json')[0]);
    expect(frames.filter((frame) => frame.type === 'sample' && frame.sequence === 9)).toEqual([example]);
  });

  it('draws a picture of that same line', () => {
    const [, drawn] = document.match(/^(F,.*)⏎$/m)!;
    expect(decodeDeviceLine(bytesOf(drawn))).toMatchObject({ type: 'sample', sequence: 9, counts: -20_417 });
  });

  it('lists the fields of every line as the codec reads them, in order', () => {
    for (const { word, fields } of [...deviceLines, ...hostLines]) {
      const heading = document
        .split('\n')
        .find((line) => line.startsWith('### ') && line.includes(`\`${word}\``))!;
      expect([word, firstColumn('field', heading)]).toEqual([word, fields.map(([name]) => name)]);
    }
  });

  it('lists every event, refusal and skip reason, and no other', () => {
    expect(firstColumn('event', '### `E`')).toEqual([...EVENT_NAMES]);
    expect(new Set(firstColumn('code', '### `N`'))).toEqual(new Set(REFUSAL_CODES));
    expect(new Set(firstColumn('reason', '## Resynchronisation'))).toEqual(
      new Set(reject.device.map(({ reason }) => reason)),
    );
  });

  it('states the length limit and the check word that the codec has', () => {
    expect(document).toContain(`At most ${MAX_LINE_BYTES} bytes`);
    expect(document).toContain(`\`${checksumVectors[0].text}\` gives \`${checksumVectors[0].crc}\``);
  });
});
