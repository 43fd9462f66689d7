import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodePayload } from '../../firmware-protocol/decode-payload.js';
import { deviceLines } from '../../firmware-protocol/device-lines.js';
import {
  decodeDeviceLine,
  decodeHostLine,
  encodeDeviceLine,
  encodeHostLine,
  LineSplitter,
  MAX_LINE_BYTES,
} from '../../firmware-protocol/index.js';
import { chunkLengths, deviceFrame, hostCommand, nearlyPayload, noise, seeded } from './arbitraries.js';
import { cut, framesOf } from './split.js';
import { bytesOf, seal, textOf } from './vectors.js';

const concatenated = (...parts: readonly Uint8Array[]) => Uint8Array.from(parts.flatMap((part) => [...part]));

describe('encoding and decoding', () => {
  it('bring back every device frame, in a line of the allowed length', () => {
    fc.assert(
      fc.property(deviceFrame, (frame) => {
        const line = encodeDeviceLine(frame);
        expect(line.length).toBeLessThanOrEqual(MAX_LINE_BYTES + 1);
        expect(decodeDeviceLine(line, 0, line.length - 1)).toEqual(frame);
      }),
      seeded,
    );
  });

  it('bring back every command', () => {
    fc.assert(
      fc.property(hostCommand, (command) => {
        const line = encodeHostLine(command);
        expect(decodeHostLine(line, 0, line.length - 1)).toEqual(command);
      }),
      seeded,
    );
  });

  it('allow one spelling only: what is accepted encodes to the same fields again', () => {
    let accepted = 0;
    fc.assert(
      fc.property(nearlyPayload, (payload) => {
        const line = bytesOf(seal(payload));
        const frame = decodeDeviceLine(line);
        const command = decodeHostLine(line);
        if (frame.type === 'skipped' && command.type === 'skipped') return;
        accepted++;
        const again = textOf(
          frame.type !== 'skipped'
            ? encodeDeviceLine(frame)
            : encodeHostLine(command as Exclude<typeof command, { type: 'skipped' }>),
        ).split('*')[0];
        expect(`${payload},`.slice(0, again.length + 1)).toBe(`${again},`);
      }),
      seeded,
    );
    expect(accepted).toBeGreaterThan(seeded.numRuns / 10);
  });

  it('say the same of a sample by its short way as by its description', () => {
    const forms = new Map(deviceLines.map((form) => [form.word, form]));
    let samples = 0;
    fc.assert(
      fc.property(nearlyPayload, (payload) => {
        const line = bytesOf(seal(payload));
        const frame = decodeDeviceLine(line);
        if (frame.type === 'sample') samples++;
        expect(frame).toEqual(decodePayload(forms, line, 0, payload.length));
      }),
      seeded,
    );
    expect(samples).toBeGreaterThan(seeded.numRuns / 20);
  });
});

describe('noise', () => {
  it('never makes a decoder throw, nor is it taken for a line', () => {
    fc.assert(
      fc.property(noise, (bytes) => {
        expect(decodeDeviceLine(bytes).type).toBe('skipped');
        expect(decodeHostLine(bytes).type).toBe('skipped');
      }),
      seeded,
    );
  });

  it('costs nothing after the next newline, however the bytes are cut', () => {
    fc.assert(
      fc.property(noise, deviceFrame, chunkLengths, (bytes, frame, lengths) => {
        const stream = concatenated(bytes, bytesOf('\n'), encodeDeviceLine(frame));
        expect(framesOf(cut(stream, lengths)).at(-1)).toEqual(frame);
      }),
      seeded,
    );
  });

  it('costs at most the line after it when it falls between lines', () => {
    fc.assert(
      fc.property(
        fc.array(deviceFrame, { minLength: 3, maxLength: 8 }),
        noise,
        chunkLengths,
        (frames, bytes, lengths) => {
          const lines = frames.map((frame) => encodeDeviceLine(frame));
          const stream = concatenated(lines[0], bytes, ...lines.slice(1));
          const read = framesOf(cut(stream, lengths)).filter(({ type }) => type !== 'skipped');
          expect(read[0]).toEqual(frames[0]);
          expect(read.slice(-(frames.length - 2))).toEqual(frames.slice(2));
        },
      ),
      seeded,
    );
  });
});

describe('splitting', () => {
  it('gives the same lines as cutting the whole stream at its newlines', () => {
    fc.assert(
      fc.property(noise, chunkLengths, (bytes, lengths) => {
        const lines: string[] = [];
        const splitter = new LineSplitter();
        for (const chunk of cut(bytes, lengths))
          splitter.push(chunk, (b, start, end) => lines.push(textOf(b.subarray(start, end))));
        const shortened = (line: string) => line.slice(0, MAX_LINE_BYTES + 1);
        expect(lines.map(shortened)).toEqual(textOf(bytes).split('\n').slice(0, -1).map(shortened));
      }),
      seeded,
    );
  });

  it('keeps no more than a line of an endless flood', () => {
    const splitter = new LineSplitter();
    const lengths: number[] = [];
    const onLine = (_: Uint8Array, start: number, end: number) => lengths.push(end - start);
    const flood = new Uint8Array(4096).fill(0x55);
    for (let i = 0; i < 1000; i++) splitter.push(flood, onLine);
    splitter.push(bytesOf('\n'), onLine);
    expect(lengths).toEqual([MAX_LINE_BYTES + 1]);
  });

  it('goes on with the next line after a listener threw', () => {
    const splitter = new LineSplitter();
    const lines: string[] = [];
    splitter.push(bytesOf('ab'), () => {});
    expect(() =>
      splitter.push(bytesOf('c\n'), () => {
        throw new Error('listener');
      }),
    ).toThrow('listener');
    splitter.push(bytesOf('d\n'), (bytes, start, end) => lines.push(textOf(bytes.subarray(start, end))));
    expect(lines).toEqual(['d']);
  });
});
