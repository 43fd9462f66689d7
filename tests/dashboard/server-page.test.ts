import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { listen } from '../../dashboard/server/index.js';
import { places } from '../../dashboard/server/page-files.js';
import { type Bench, openBench } from './server-fixture.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-page-'));
const script = 'export const answer = 42;\n'.repeat(100);
let bench: Bench;
beforeAll(() => {
  mkdirSync(join(folder, 'assets'));
  writeFileSync(join(folder, 'index.html'), '<!doctype html>');
  writeFileSync(join(folder, 'assets', 'index-1a2b.js'), script);
  writeFileSync(join(folder, 'assets', 'index-1a2b.js.gz'), gzipSync(script));
  bench = openBench({ pageFolder: folder });
});
afterAll(async () => {
  await bench.close();
  rmSync(folder, { recursive: true });
});

const get = (url: string, headers: Record<string, string> = {}) =>
  bench.server.inject({ url, headers: { host: '127.0.0.1', ...headers } });

describe('the built page', () => {
  it('is there at the address of each of its places, and never from a cache', async () => {
    for (const url of places) {
      const { statusCode, headers, body } = await get(url);
      expect([url, statusCode, body]).toEqual([url, 200, '<!doctype html>']);
      expect(headers['cache-control']).toBe('no-cache');
    }
  });

  it('goes compressed, as it was built, to whoever takes that, and as it is to others', async () => {
    const small = await get('/assets/index-1a2b.js', { 'accept-encoding': 'gzip, deflate' });
    expect(small.headers).toMatchObject({
      'content-encoding': 'gzip',
      'content-type': expect.stringMatching(/^(?:text|application)\/javascript/),
      'cache-control': 'public, max-age=31536000, immutable',
      vary: expect.stringMatching(/accept-encoding/i),
      'x-content-type-options': 'nosniff',
    });
    expect(gunzipSync(small.rawPayload).toString()).toBe(script);
    const plain = await get('/assets/index-1a2b.js');
    expect([plain.headers['content-encoding'], plain.body]).toEqual([undefined, script]);
  });

  it('is made of the files that were there when the server started, and of no others', async () => {
    writeFileSync(join(folder, 'assets', 'later.js'), 'planted');
    expect((await get('/assets/later.js')).statusCode).toBe(404);
  });
});

describe('the address it is bound to', () => {
  it.each([
    ['127.0.0.1', undefined],
    ['0.0.0.0', 'home-network'],
  ] as const)('is %s where %s is asked for', async (address, reach) => {
    const other = openBench();
    expect(await listen(other.server, 0, reach)).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/);
    expect(other.server.addresses()).toMatchObject([{ address }]);
    await other.close();
  });
});
