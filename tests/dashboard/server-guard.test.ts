import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Bench, openBench } from './server-fixture.js';

let bench: Bench;
beforeAll(() => {
  bench = openBench();
});
afterAll(() => bench.close());

describe('who may ask', () => {
  it.each(['127.0.0.1', '127.0.0.1:4870', 'localhost:4870', 'LOCALHOST', '[::1]:4870'])(
    'Host %s may',
    async (host) => {
      expect((await bench.get('/api/state', { host })).status).toBe(200);
    },
  );

  it.each([
    'rebound.example',
    '127.0.0.1.rebound.example',
    'localhost.example:4870',
    '10.0.0.5',
    '127.0.0.1@x.example',
  ])('Host %s may not, though it came to this machine', async (host) => {
    const { status, body } = await bench.get('/api/state', { host });
    expect(status).toBe(403);
    expect(body).toMatchObject({ code: 'foreign-host', where: 'header Host' });
  });

  it.each(['http://other.example', 'https://127.0.0.1', 'http://127.0.0.1:1', 'null'])(
    'a page of %s may not, though the browser can reach this server',
    async (origin) => {
      expect((await bench.get('/api/state', { origin })).body).toMatchObject({ code: 'foreign-origin' });
    },
  );

  it('its own page may', async () => {
    expect((await bench.get('/api/state', { origin: 'http://127.0.0.1' })).status).toBe(200);
  });

  it('a picture or script of another site may not, but a link to here may', async () => {
    const site = { 'sec-fetch-site': 'cross-site' };
    expect((await bench.get('/api/state', { ...site, 'sec-fetch-mode': 'no-cors' })).status).toBe(403);
    expect((await bench.get('/api/state', { ...site, 'sec-fetch-mode': 'navigate' })).status).toBe(200);
  });
});

describe('what is answered', () => {
  it('lets a page load nothing from elsewhere and run no script inside it', async () => {
    const { headers } = await bench.server.inject({ url: '/api/state', headers: { host: '127.0.0.1' } });
    const policy = String(headers['content-security-policy']);
    expect(policy).toContain("default-src 'self'");
    expect(policy).toContain("script-src 'self'");
    expect(policy).toContain("connect-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toMatch(/script-src[^;]*unsafe|https?:|\*/);
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['cache-control']).toBe('no-store');
  });

  it('is an error in four words for a place that is not there', async () => {
    expect(await bench.get('/api/nothing?x=1')).toMatchObject({
      status: 404,
      body: { code: 'not-found', found: 'nothing at /api/nothing', where: 'GET /api/nothing' },
    });
  });

  it.each([
    ['text/plain', '{"reason":"x"}', 415, 'not-json'],
    ['application/x-www-form-urlencoded', 'reason=x', 415, 'not-json'],
    ['application/json', '{"reason":', 400, 'bad-request'],
    ['application/json', JSON.stringify({ reason: 'x'.repeat(70_000) }), 413, 'too-large'],
  ])('is a refusal for a body of %s like %s', async (type, payload, status, code) => {
    const response = await bench.server.inject({
      method: 'POST',
      url: '/api/recordings/1/discard',
      headers: { host: '127.0.0.1', 'content-type': type },
      payload,
    });
    expect({ status: response.statusCode, body: response.json() }).toMatchObject({ status, body: { code } });
  });
});
