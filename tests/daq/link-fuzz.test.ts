import { EventEmitter } from 'node:events';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { frameIntake } from '../../daq/link/frame-intake.js';
import type { OpenPort } from '../../daq/ports/open-port.js';
import { type DeviceFrame, encodeDeviceLine } from '../../firmware-protocol/index.js';

const RUNS = Number(process.env.ENDURANCE_FUZZ ?? 300);

/** What a link makes of bytes that arrive in the given chunks. */
function received(chunks: readonly Uint8Array[]) {
  const port = new EventEmitter();
  const intake = frameIntake(port as unknown as OpenPort);
  const frames: DeviceFrame[] = [];
  intake.listen((frame) => frames.push(frame));
  for (const chunk of chunks) port.emit('data', Buffer.from(chunk));
  return { frames, statistics: intake.statistics(null), bytes: intake.bytesReceived() };
}

const sample = (sequence: number): DeviceFrame => ({
  type: 'sample',
  kind: sequence % 2 === 0 ? 'force' : 'position',
  sequence,
  deviceTime_us: 1000 + 2500 * sequence,
  counts: 17 * sequence - 4000,
});

/** Cuts bytes at some places, as reads from a port do. */
function cut(bytes: Uint8Array, places: readonly number[]): Uint8Array[] {
  const at = [
    0,
    ...places.map((place) => place % (bytes.length + 1)).toSorted((a, b) => a - b),
    bytes.length,
  ];
  return at.slice(1).map((end, i) => bytes.subarray(at[i], end));
}

const noise = fc
  .uint8Array({ maxLength: 300 })
  .map((bytes) => bytes.map((byte) => (byte === 0x0a ? 0x0b : byte)));
const places = fc.array(fc.nat(), { maxLength: 12 });

describe('a link that gets noise', () => {
  it('never throws, takes no line that was not sent, and has every line after the next newline', () => {
    fc.assert(
      fc.property(fc.array(noise, { minLength: 1, maxLength: 8 }), places, (noises, at) => {
        // Noise and a newline before each line: the noise is lost, the line is not.
        const bytes = noises.flatMap((each, i) => [...each, 0x0a, ...encodeDeviceLine(sample(i))]);
        const { frames, statistics, bytes: count } = received(cut(Uint8Array.from(bytes), at));
        expect(frames).toEqual(noises.map((_, i) => sample(i)));
        expect(statistics.linesMissing).toBe(0);
        expect(count).toBe(bytes.length);
      }),
      { seed: 81, numRuns: RUNS },
    );
  });

  it('glued to a line costs that line only, and it is missed by its number', () => {
    fc.assert(
      fc.property(
        noise.filter((each) => each.length > 0),
        fc.integer({ min: 1, max: 8 }),
        places,
        (each, hit, at) => {
          const bytes = Array.from({ length: 10 }, (_, i) => [
            ...(i === hit ? each : []),
            ...encodeDeviceLine(sample(i)),
          ]);
          const { frames, statistics } = received(cut(Uint8Array.from(bytes.flat()), at));
          expect(frames).toEqual(Array.from({ length: 10 }, (_, i) => sample(i)).filter((_, i) => i !== hit));
          expect(statistics.linesMissing).toBe(1);
        },
      ),
      { seed: 82, numRuns: RUNS },
    );
  });

  it('from lines spliced into each other never makes a line that was not sent', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(40), fc.nat(60), fc.nat(60)), { maxLength: 30 }),
        places,
        (pieces, at) => {
          const bytes = pieces.flatMap(([n, from, to]) => [
            ...encodeDeviceLine(sample(n)).subarray(Math.min(from, to), Math.max(from, to)),
          ]);
          const { frames } = received(cut(Uint8Array.from(bytes), at));
          for (const frame of frames) expect(frame).toEqual(sample(frame.sequence));
        },
      ),
      { seed: 83, numRuns: RUNS },
    );
  });

  it('of any bytes at all never throws, and keeps no count that does not add up', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ maxLength: 400 }), { maxLength: 20 }), (chunks) => {
        const { statistics, bytes } = received(chunks);
        const skipped = Object.values(statistics.linesSkipped).reduce((sum, lines) => sum + (lines ?? 0), 0);
        const newlines = chunks.flatMap((chunk) => [...chunk]).filter((byte) => byte === 0x0a).length;
        expect(skipped + statistics.linesDecoded).toBeLessThanOrEqual(newlines);
        expect(bytes).toBe(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
      }),
      { seed: 84, numRuns: RUNS },
    );
  });
});
