import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { isHomeAddress } from '../../dashboard/server/network/origin-of-request.js';
import {
  CODE_GOOD_FOR_MS,
  MOST_WRONG_TRIES,
  type Pairing,
  pairing,
  SECRET_GOOD_FOR_MS,
} from '../../dashboard/server/network/pairing.js';
import { type Bench, openBench } from './server-fixture.js';

let now_ms = 0;
const clock = { now_ms: () => now_ms, after: () => () => {} };
let shown: string[] = [];

beforeEach(() => {
  now_ms = 0;
  shown = [];
});

describe('a code', () => {
  let door: Pairing;
  beforeEach(() => {
    door = pairing({ clock, show: (code) => shown.push(code) });
    door.invite();
  });

  it('is six letters and digits of which none looks like another', () => {
    expect(shown).toEqual([expect.stringMatching(/^[2-9A-HJKMNP-Z]{6}$/)]);
  });

  it('lets one browser in, however it is written', () => {
    const secret = door.redeem(` ${shown[0]!.toLowerCase().slice(0, 3)}-${shown[0]!.slice(3)} `);
    expect(door.isPaired(secret)).toBe(true);
    expect(() => door.redeem(shown[0]!)).toThrow('spent');
  });

  it('is shown once while it is good, and another when it is not', () => {
    door.invite();
    now_ms = CODE_GOOD_FOR_MS - 1;
    door.invite();
    expect(shown).toHaveLength(1);
    now_ms = CODE_GOOD_FOR_MS;
    expect(() => door.redeem(shown[0]!)).toThrow('spent');
    door.invite();
    expect(shown).toHaveLength(2);
    expect(door.isPaired(door.redeem(shown[1]!))).toBe(true);
  });

  it('is spent by five wrong tries, after which nobody gets in for a minute', () => {
    for (let i = 0; i < MOST_WRONG_TRIES; i++) expect(() => door.redeem('WRONG')).toThrow('another code');
    expect(() => door.redeem(shown[0]!)).toThrow('5 wrong codes');
    door.invite();
    expect(shown).toHaveLength(1);
    now_ms = 60_000;
    expect(() => door.redeem(shown[0]!)).toThrow('another code');
    door.invite();
    expect(door.isPaired(door.redeem(shown[1]!))).toBe(true);
  });

  it('gives a secret that ends', () => {
    const secret = door.redeem(shown[0]!);
    now_ms = SECRET_GOOD_FOR_MS - 1;
    expect(door.isPaired(secret)).toBe(true);
    now_ms = SECRET_GOOD_FOR_MS;
    expect(door.isPaired(secret)).toBe(false);
    expect(door.isPaired(undefined)).toBe(false);
    expect(door.isPaired('A'.repeat(43))).toBe(false);
  });
});

describe('a browser in the home network', () => {
  let bench: Bench;
  beforeEach(() => {
    bench = openBench({
      clock,
      network: { addresses: ['192.168.1.5'], showCode: (code) => shown.push(code) },
    });
  });
  afterEach(() => bench.close());

  const over = (request: { method?: 'GET' | 'POST'; url: string; payload?: string; headers?: object }) =>
    bench.server.inject({
      remoteAddress: '192.168.1.20',
      ...request,
      headers: { host: '192.168.1.5:4870', ...request.headers },
    });
  const form = { 'content-type': 'application/x-www-form-urlencoded', origin: 'http://192.168.1.5:4870' };

  async function enter(): Promise<string> {
    await over({ url: '/pair' });
    const payload = `code=${shown.at(-1)}`;
    const { headers } = await over({ method: 'POST', url: '/pair', headers: form, payload });
    return String(headers['set-cookie']);
  }

  it('is led to the page that asks for the code, which says what the network is', async () => {
    const { statusCode, headers } = await over({ url: '/together', headers: { accept: 'text/html' } });
    expect([statusCode, headers.location]).toEqual([303, '/pair']);
    const { body } = await over({ url: '/pair' });
    expect(body).toContain('not encrypted');
    expect(body).not.toContain(shown[0]);
  });

  it('gets a secret that no script reads and no other site sends', async () => {
    expect(await enter()).toMatch(
      /^dashpot_bench=[\w-]{43}; HttpOnly; SameSite=Strict; Path=\/; Max-Age=14400$/,
    );
  });

  it('is told what was wrong with a code, in the page', async () => {
    await over({ url: '/pair' });
    const wrong = await over({ method: 'POST', url: '/pair', headers: form, payload: 'code=<b>WRONG' });
    expect([wrong.statusCode, wrong.headers['set-cookie']]).toEqual([403, undefined]);
    expect(wrong.body).toContain('role="alert"');
    expect(wrong.body).not.toContain('<b>');
    const none = await over({ method: 'POST', url: '/pair', headers: form, payload: 'other=1' });
    expect(none.statusCode).toBe(400);
  });

  it('may look and stop, with the caution in sight, and change nothing', async () => {
    const cookie = await enter();
    const state = await over({ url: '/api/state', headers: { cookie } });
    expect(state.json()).toMatchObject({ caution: expect.stringContaining('not encrypted') });
    expect((await bench.get('/api/state')).body).toMatchObject({ caution: null });
    const post = async (url: string) => {
      const { statusCode, ...answer } = await over({ method: 'POST', url, headers: { cookie } });
      return [statusCode, (answer.json() as { code: string }).code];
    };
    expect(await post('/api/recordings/current/stop')).toEqual([409, 'not-recording']);
    const { paths } = (await bench.get('/api/openapi.json')).body as { paths: Record<string, object> };
    const commands = Object.entries(paths).flatMap(([path, methods]) =>
      'post' in methods ? [path.replaceAll(/\{\w+\}/g, '1')] : [],
    );
    expect(commands).toContain('/api/recordings/current/lease');
    for (const url of [...commands, '/api/anything/that/comes/later'])
      if (url !== '/api/recordings/current/stop')
        expect([url, ...(await post(url))]).toEqual([url, 403, 'not-at-the-rig']);
  });

  it('has to tell the code again when its secret has ended', async () => {
    const cookie = await enter();
    now_ms = SECRET_GOOD_FOR_MS;
    expect((await over({ url: '/api/builds', headers: { cookie } })).json()).toMatchObject({
      code: 'not-paired',
    });
  });
});

it('only addresses that no router passes on are a home network', () => {
  const home = ['10.0.0.1', '172.16.0.1', '172.31.255.254', '192.168.1.1', '169.254.9.9', '::ffff:10.1.2.3'];
  const world = ['9.255.255.255', '172.15.0.1', '172.32.0.1', '192.169.0.1', '8.8.8.8', '2001:db8::1', ''];
  expect(home.filter((address) => !isHomeAddress(address))).toEqual([]);
  expect([...world, undefined].filter(isHomeAddress)).toEqual([]);
});
