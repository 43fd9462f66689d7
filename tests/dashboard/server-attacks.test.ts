import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createGunzip, gzipSync } from 'node:zlib';
import type { InjectOptions } from 'light-my-request';
import { expect, it } from 'vitest';
import type { Guard } from '../../dashboard/server/guards.js';
import { listen } from '../../dashboard/server/index.js';
import { type Bench, enterTwoBuilds, openBench } from './server-fixture.js';

const HERE = '192.168.1.5';
const VISITOR = '192.168.1.20';
const practice = {
  rig: { kind: 'practice', build: 'draggy-seal' },
  build: { kind: 'new', name: 'theirs', shock: 'theirs', parentId: null, change: '' },
  procedure: 'speed-ladder',
  cautionsRead: true,
};

interface Attacked extends Bench {
  /** Codes that this machine showed, in order. */
  readonly shown: string[];
  send(request: InjectOptions): Promise<{ status: number; text: string; cookie: string }>;
  /** As a browser of the home network sends it. */
  sendOver(request: InjectOptions): Promise<{ status: number; text: string; cookie: string }>;
  pair(code: string, from?: string): Promise<{ status: number; cookie: string }>;
}

/** A server that is open to the home network, with a guard away. */
function openAttacked(away: readonly Guard[]): Attacked {
  const shown: string[] = [];
  const network = { addresses: [HERE], showCode: (code: string) => void shown.push(code) };
  const bench = openBench({ network }, away);
  const send = async (request: InjectOptions) => {
    const { statusCode, body, headers } = await bench.server.inject({
      ...request,
      headers: { host: '127.0.0.1', ...request.headers },
    });
    return { status: statusCode, text: body, cookie: String(headers['set-cookie'] ?? '').split(';')[0]! };
  };
  const sendOver = (request: InjectOptions) =>
    send({ remoteAddress: VISITOR, ...request, headers: { host: HERE, ...request.headers } });
  const pair = (code: string, from = VISITOR) =>
    sendOver({
      method: 'POST',
      url: '/pair',
      remoteAddress: from,
      headers: { 'content-type': 'application/x-www-form-urlencoded' },
      payload: new URLSearchParams({ code }).toString(),
    });
  return { ...bench, shown, send, sendOver, pair };
}

/** A browser of the home network that was told the code. */
async function paired(bench: Attacked): Promise<string> {
  await bench.sendOver({ url: '/pair' });
  return (await bench.pair(bench.shown.at(-1)!)).cookie;
}

interface Attack {
  readonly what: string;
  readonly guard: Guard;
  /** @returns whether it did what it is meant to */
  readonly tryOn: (bench: Attacked) => Promise<boolean>;
}

const attacks: readonly Attack[] = [
  {
    what: 'a site whose name was pointed at this machine reads the logbook',
    guard: 'host',
    tryOn: async ({ send }) =>
      (await send({ url: '/api/builds', headers: { host: 'rebound.example:4870' } })).text.includes(
        'old seal',
      ),
  },
  {
    what: 'the page of another site takes the outcome of a recording off the bench',
    guard: 'origin',
    tryOn: async ({ send }) => {
      const url = '/api/recordings/current/settle';
      return (
        (await send({ method: 'POST', url, headers: { origin: 'http://other.example' } })).status === 200
      );
    },
  },
  {
    what: 'the page of another site loads the logbook as if it were a script',
    guard: 'origin',
    tryOn: async ({ send }) => {
      const headers = { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'no-cors' };
      return (await send({ url: '/api/builds', headers })).text.includes('old seal');
    },
  },
  {
    what: 'a form of another site commands the server, in a browser that does not tell where it comes from',
    guard: 'json-bodies',
    tryOn: async ({ send }) =>
      (
        await send({
          method: 'POST',
          url: '/api/recordings/current/settle',
          headers: { 'content-type': 'text/plain' },
          payload: 'anything=',
        })
      ).status === 200,
  },
  {
    what: 'a body of megabytes is read to its end',
    guard: 'body-size',
    tryOn: async ({ send }) =>
      (
        await send({
          method: 'POST',
          url: '/api/recordings/1/discard',
          headers: { 'content-type': 'application/json' },
          payload: JSON.stringify({ reason: 'x'.repeat(4e6) }),
        })
      ).text.includes('at most 200 characters'),
  },
  {
    what: 'a page finds out which files are there, by calling them ports',
    guard: 'listed-ports',
    tryOn: async ({ post, logbook }) => {
      const codeOf = async (path: string) => {
        const { body } = await post('/api/recordings', { ...practice, rig: { kind: 'port', path } });
        return (body as { code: string }).code;
      };
      return (await codeOf(logbook.path)) !== (await codeOf(`${logbook.path}-that-is-not-there`));
    },
  },
  {
    what: 'someone on the sofa starts the drive',
    guard: 'at-the-rig',
    tryOn: async (bench) => {
      const cookie = await paired(bench);
      const { status } = await bench.sendOver({
        method: 'POST',
        url: '/api/recordings',
        headers: { cookie },
        payload: practice,
      });
      return status === 201;
    },
  },
  {
    what: 'a neighbour in the same network reads the logbook',
    guard: 'pairing',
    tryOn: async ({ sendOver }) => (await sendOver({ url: '/api/builds' })).text.includes('old seal'),
  },
  {
    what: 'a neighbour guesses the code, with a list that has it at its thirtieth place',
    guard: 'few-tries',
    tryOn: async ({ sendOver, shown, pair }) => {
      await sendOver({ url: '/pair' });
      const list = Array.from({ length: 29 }, (_, i) => `AAAA${10 + i}`);
      for (const [place, code] of [...list, shown[0]!].entries())
        if ((await pair(code, `192.168.1.${place + 30}`)).cookie !== '') return true;
      return false;
    },
  },
  {
    what: 'the internet, through a router that passes everything on, is asked for the code',
    guard: 'home-network',
    tryOn: async ({ sendOver }) =>
      (await sendOver({ url: '/pair', remoteAddress: '203.0.113.9' })).status === 200,
  },
];

const named = attacks.map(({ what, guard, tryOn }) => [what, guard, tryOn] as const);

it.each(named)('%s: only where the guard %s is away', async (_what, guard, tryOn) => {
  const outcome = async (away: readonly Guard[]) => {
    const bench = openAttacked(away);
    try {
      enterTwoBuilds(bench.logbook, 1);
      return await tryOn(bench);
    } finally {
      await bench.close();
    }
  };
  expect({ unguarded: await outcome([guard]), guarded: await outcome([]) }).toEqual({
    unguarded: true,
    guarded: false,
  });
});

it('a path of a client reads a file beside the page: only where the path is looked up in the file system', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-page-'));
  const page = join(folder, 'page');
  mkdirSync(join(page, 'assets'), { recursive: true });
  writeFileSync(join(page, 'index.html'), 'the page');
  writeFileSync(join(folder, 'secret.txt'), 'a secret');
  const ways = [
    '/../secret.txt',
    '/%2e%2e/secret.txt',
    '/assets/..%2f..%2fsecret.txt',
    '/assets/%2e%2e/%2e%2e/secret.txt',
  ];
  const readBy = async (bench: Bench) => {
    const address = await listen(bench.server, 0);
    const answers = await Promise.all(ways.map((way) => rawGet(Number(new URL(address).port), way)));
    await bench.close();
    return answers.some((answer) => answer.includes('a secret'));
  };
  const naive = openBench();
  naive.server.get('/*', (request) => readFileSync(join(page, decodeURIComponent(request.url)), 'utf8'));
  expect({
    unguarded: await readBy(naive),
    guarded: await readBy(openBench({ pageFolder: page })),
  }).toEqual({ unguarded: true, guarded: false });
  rmSync(folder, { recursive: true });
});

it('a small body that unpacks to a very large one is unpacked: only by a server that unpacks', async () => {
  const bomb = gzipSync(`{"reason":"${' '.repeat(2e7)}loose mount"}`);
  expect(bomb.length).toBeLessThan(50_000);
  const takenBy = async (bench: Bench) => {
    enterTwoBuilds(bench.logbook, 1);
    const { statusCode } = await bench.server.inject({
      method: 'POST',
      url: '/api/recordings/1/discard',
      headers: { host: '127.0.0.1', 'content-type': 'application/json', 'content-encoding': 'gzip' },
      payload: bomb,
    });
    await bench.close();
    return statusCode === 204;
  };
  const naive = openBench({}, ['body-size']);
  naive.server.addHook('preParsing', async (request, _reply, payload) => {
    // The length that was announced is that of the packed body.
    delete request.headers['content-length'];
    return payload.pipe(createGunzip());
  });
  expect({ unguarded: await takenBy(naive), guarded: await takenBy(openBench()) }).toEqual({
    unguarded: true,
    guarded: false,
  });
});

/** A request whose path no client library has tidied. */
function rawGet(port: number, path: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(port, '127.0.0.1');
    let answer = '';
    socket.on('data', (bytes) => {
      answer += bytes.toString();
    });
    socket.on('close', () => resolve(answer));
    socket.on('error', reject);
    socket.write(`GET ${path} HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nConnection: close\r\n\r\n`);
  });
}
