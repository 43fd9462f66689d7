import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { headerFile, vectorsHeader } from './vectors-header.js';

describe('the vectors for C and C++', () => {
  it('are the ones of the JSON files', () => {
    const wanted = vectorsHeader();
    if (process.env.REWRITE_VECTORS === '1') writeFileSync(headerFile, wanted);
    expect(readFileSync(headerFile, 'utf8')).toBe(wanted);
  });

  it('leave out only what no device can be asked', () => {
    const header = vectorsHeader();
    const count = (list: string) =>
      header
        .split(`#define DASHPOT_${list}(V)`)[1]!
        .split('/*')[0]!
        .split('\n')
        .filter((line) => /^ {2}V\(/.test(line)).length;
    const read = (name: string) => JSON.parse(readFileSync(new URL(`${name}.json`, headerFile), 'utf8'));
    expect(count('CHECKSUMS')).toBe(read('checksum').vectors.length);
    expect(count('HOST_LINES')).toBe(read('accept').host.length);
    expect(count('HOST_FAULTS')).toBe(read('reject').host.length);
    expect(count('ENVELOPES')).toBe(read('reject').device.length + read('accept').device.length);
    expect(count('STREAMS')).toBe(read('resynchronise').streams.length);
    const written = ['SAMPLES', 'EVENTS', 'REPLIES', 'REFUSALS', 'IDENTITIES', 'CHANNELS', 'DRIVES'];
    const canonical = read('accept').device.filter(
      (vector: { canonical?: false }) => vector.canonical !== false,
    );
    const withFields = canonical.filter(
      ({ frame }: { frame: { fields?: unknown[] } }) => frame.fields?.length,
    );
    expect(written.reduce((sum, list) => sum + count(list), 0)).toBe(canonical.length - withFields.length);
    expect(withFields.length).toBeLessThan(6);
  });
});
