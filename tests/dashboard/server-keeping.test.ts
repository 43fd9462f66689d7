import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type {
  ApiError,
  BuildsBody,
  ImportedBody,
  ImportPreviewBody,
  KeepingBody,
  MadeBody,
} from '../../dashboard/server/api.js';
import { tinyJpeg, tinyPng } from '../daq/tiny-photos.js';
import { type Bench, enterTwoBuilds, openBench } from './server-fixture.js';

let bench: Bench;
beforeEach(() => {
  bench = openBench();
});
afterEach(() => bench.close());

const builds = async () => ((await bench.get('/api/builds')).body as BuildsBody).builds;
const keeping = async () => (await bench.get('/api/keeping')).body as KeepingBody;
const made = { shock: 'left', parentId: null, name: 'as bought', change: '', note: '', parts: {} };

async function send(url: string, bytes: Uint8Array | string, type = 'application/octet-stream') {
  const response = await bench.server.inject({
    method: 'POST',
    url,
    headers: { host: '127.0.0.1', 'content-type': type },
    payload: Buffer.from(bytes),
  });
  return { status: response.statusCode, body: (response.body ? response.json() : null) as unknown };
}

describe('a build', () => {
  it('is made from another by its changes, typed with decimal commas, and inherits the rest', async () => {
    const first = {
      ...made,
      parts: { seal: 'blue', oil: '30 wt', oil_cSt: '350', holes: '3', hole_mm: '1,2' },
    };
    const { body } = await bench.post('/api/builds', first);
    const parentId = (body as MadeBody).id;
    const { status } = await bench.post('/api/builds', {
      ...made,
      shock: '',
      parentId,
      name: 'drilled',
      parts: { holes: '3', hole_mm: '1.3', stop: ' ' },
    });
    expect(status).toBe(201);
    expect((await builds())[1]).toMatchObject({
      change: 'holes: 3 × 1.2 mm → 3 × 1.3 mm',
      said: '',
      changes: [{ part: 'holes', from: { holes: 3, hole_mm: 1.2 }, to: { holes: 3, hole_mm: 1.3 } }],
      parts: [
        { part: 'seal', inherited: true },
        { part: 'oil', properties: { oil: '30 wt', oil_cSt: 350 }, inherited: true },
        { part: 'holes', inherited: false },
      ],
    });
  });

  it.each([
    [{ name: ' ' }, 'body.name'],
    [{ shock: '' }, 'body.shock'],
    [{ parentId: 99 }, 'body.parentId'],
    [{ parts: { hole_mm: '90' } }, 'body.parts.hole_mm'],
    [{ parts: { holes: '2,5' } }, 'body.parts.holes'],
    [{ parts: { oil_cSt: 'thick' } }, 'body.parts.oil_cSt'],
    [{ parts: { __proto__: null, colour: 'red' } }, 'body.parts'],
    [{ note: 'x'.repeat(4001) }, 'body.note'],
  ])('is refused beside its field (%#)', async (wrong, where) => {
    const { status, body } = await bench.post('/api/builds', { ...made, ...wrong });
    expect(status).toBeGreaterThanOrEqual(400);
    expect((body as ApiError).where).toBe(where);
    expect(await builds()).toEqual([]);
  });

  it('is renamed and noted in one edit, which is undone and done again', async () => {
    const { before } = enterTwoBuilds(bench.logbook);
    await bench.post(`/api/builds/${before.id}`, {
      name: 'worn seal',
      note: 'weeps',
      parts: { oil: 'thick' },
    });
    expect((await builds())[0]).toMatchObject({ name: 'worn seal', note: 'weeps' });
    const { undo } = await keeping();
    expect(undo!.words).toBe("build 'old seal' renamed 'worn seal'");
    const { body } = await bench.post('/api/keeping/undo', { editId: undo!.id });
    expect((body as KeepingBody).redo!.id).toBe(undo!.id);
    expect((await builds())[0]).toMatchObject({
      name: 'old seal',
      note: '',
      parts: [{ properties: { oil: 'thin' } }],
    });
    expect((await bench.post('/api/keeping/undo', { editId: undo!.id })).status).toBe(409);
    await bench.post('/api/keeping/redo', { editId: undo!.id });
    expect((await builds())[0]!.note).toBe('weeps');
  });

  it('cannot take a name that another one has', async () => {
    const { before } = enterTwoBuilds(bench.logbook);
    const { status, body } = await bench.post(`/api/builds/${before.id}`, { name: 'new seal' });
    expect([status, (body as ApiError).code]).toEqual([409, 'name-taken']);
  });
});

describe('the bin', () => {
  it('takes a build and a recording out of the analyses, and gives them back', async () => {
    const { before, after } = enterTwoBuilds(bench.logbook);
    const compare = () => bench.get(`/api/compare?before=${before.id}&after=${after.id}`);
    await bench.post('/api/bin', { kind: 'recording', item: String(before.recordings[0]), reason: 'loose' });
    expect((await compare()).body).toMatchObject({ before: { recordingIds: before.recordings.slice(1) } });
    await bench.post('/api/bin', { kind: 'build', item: String(before.id) });
    expect((await compare()).status).toBe(404);
    expect((await keeping()).bin.map(({ words }) => words)).toEqual([
      "build 'old seal', with three recordings",
    ]);
    await bench.post('/api/bin/restore', { kind: 'build', item: String(before.id) });
    expect((await keeping()).bin).toMatchObject([{ words: "remount 1 of 'old seal'", reason: 'loose' }]);
    await bench.post('/api/bin/restore', { kind: 'recording', item: String(before.recordings[0]) });
    expect((await compare()).body).toMatchObject({ before: { recordingIds: before.recordings } });
  });

  it('is emptied only of as many things as were seen in it', async () => {
    const { after } = enterTwoBuilds(bench.logbook);
    await bench.post('/api/bin', { kind: 'build', item: String(after.id) });
    expect((await bench.post('/api/bin/empty', { count: 2 })).status).toBe(409);
    expect((await bench.post('/api/bin/empty', { count: 1 })).body).toMatchObject({ bin: [], undo: null });
    expect(bench.logbook.readChannels(after.recordings[0]!)).toEqual([]);
  });
});

describe('the shelf', () => {
  it('takes the parts of the command, held to the same check', async () => {
    await bench.post('/api/shelf', { kind: 'oil', part: { name: 'thin', oil_cSt: 200 } });
    await bench.post('/api/shelf', { kind: 'spring', part: { name: 'soft', rate_N_per_mm: 0.2 } });
    expect(bench.logbook.readShelf()).toMatchObject({
      oils: [{ name: 'thin', oil_cSt: 200 }],
      springs: [{ name: 'soft', rate_N_per_mm: 0.2 }],
    });
    const { undo, shelf } = await keeping();
    expect(undo!.words).toBe("new spring 'soft'");
    expect(shelf.map(({ name }) => name)).toEqual(['thin', 'soft']);
  });

  it.each([
    ['oil', { name: '30 wt' }, 'body.part.oil_cSt'],
    ['oil', { name: 'x', measured: { against: 'y', ratio: 2, standardError: 0 } }, 'body.part.oil_cSt'],
    ['spring', { name: 'soft', rate_N_per_mm: -1 }, 'body.part.rate_N_per_mm'],
    ['drill', { name: '30 mm', drill_mm: 30 }, 'body.part.drill_mm'],
    [
      'piston',
      { name: 'stock', bore_mm: 12, rod_mm: 13, holes: 3, hole_mm: 1, thickness_mm: 2 },
      'body.part.rod_mm',
    ],
    ['seal', { name: ' ' }, 'body.part.name'],
  ])('refuses a %s that makes no sense (%#)', async (kind, part, where) => {
    const { status, body } = await bench.post('/api/shelf', { kind, part });
    expect([status, (body as ApiError).where]).toEqual([400, where]);
    expect(bench.logbook.listShelf()).toEqual([]);
  });
});

describe('a photo', () => {
  it('comes back as a picture that may do nothing', async () => {
    const { before } = enterTwoBuilds(bench.logbook);
    const { body } = await send(`/api/builds/${before.id}/photos?name=a.png&caption=worn`, tinyPng(4, 3));
    expect((await builds())[0]!.photos).toEqual([
      { id: (body as MadeBody).id, caption: 'worn', width_px: 4, height_px: 3 },
    ]);
    const photo = await bench.server.inject({ url: '/api/photos/1', headers: { host: '127.0.0.1' } });
    expect(photo.headers).toMatchObject({
      'content-type': 'image/png',
      'x-content-type-options': 'nosniff',
      'content-security-policy': "default-src 'none'; sandbox",
    });
    expect([...photo.rawPayload]).toEqual([...tinyPng(4, 3)]);
  });

  it('is captioned anew, which can be taken back', async () => {
    const { before } = enterTwoBuilds(bench.logbook);
    const { body } = await send(`/api/builds/${before.id}/photos?name=a.png&caption=worn`, tinyPng(4, 3));
    const { id } = body as MadeBody;
    const caption = async () => (await builds())[0]!.photos[0]!.caption;
    expect((await bench.post(`/api/photos/${id}`, { caption: ' worn lip ' })).status).toBe(204);
    expect(await caption()).toBe('worn lip');
    const { undo } = (await bench.get('/api/keeping')).body as KeepingBody;
    expect(undo!.words).toBe("what is said of photo 'worn lip' of 'old seal'");
    await bench.post('/api/keeping/undo', { editId: undo!.id });
    expect(await caption()).toBe('worn');
  });

  it.each([
    ['a page by the name of a picture', '<html><script>alert(1)</script>'.padEnd(64), 409],
    ['too many bytes', new Uint8Array(9 * 1024 * 1024), 413],
  ])('is refused when it is %s', async (_what, bytes, wanted) => {
    const { before } = enterTwoBuilds(bench.logbook);
    expect((await send(`/api/builds/${before.id}/photos?name=..%2Fa.png`, bytes)).status).toBe(wanted);
    expect(bench.logbook.listPhotos()).toEqual([]);
  });

  it('cannot come from a form of another site', async () => {
    const { before } = enterTwoBuilds(bench.logbook);
    for (const type of ['multipart/form-data; boundary=x', 'text/plain'])
      expect((await send(`/api/builds/${before.id}/photos`, tinyJpeg(4, 3), type)).status).toBe(415);
  });
});

describe('an import', () => {
  const rows = Array.from({ length: 30 }, (_, i) =>
    `${i / 100};${20 + (i % 7)},5;${i % 5},25`.replace('.', ','),
  );
  const csv = `Zeit [s];Weg [mm];Kraft [N]\n${rows.join('\n')}\n`;
  const look = async (text: string, reading?: unknown) => {
    const stated = reading ? `&reading=${encodeURIComponent(JSON.stringify(reading))}` : '';
    return send(`/api/imports/preview?name=rig.csv${stated}`, text);
  };
  const url = (build: number, reading: unknown, modified = '2026-01-02T03:04:05.000Z') =>
    `/api/imports?name=C%3A%5Csecret%5Crig.csv&build=${build}&modified=${modified}&reading=${encodeURIComponent(JSON.stringify(reading))}`;

  it('is looked at, then taken in as stated, and can be undone', async () => {
    const { before } = enterTwoBuilds(bench.logbook);
    const preview = (await look(csv)).body as ImportPreviewBody;
    expect(preview).toMatchObject({
      reading: { delimiter: ';', decimalMark: ',', headerLines: 1 },
      seen: { rows: 30, position_mm: [20.5, 26.5], force_N: [0.25, 4.25] },
      refusal: null,
    });
    const inInches = {
      ...preview.reading,
      columns: preview.reading.columns.map((column) =>
        column.quantity === 'position' ? { ...column, unit: 'in' } : column,
      ),
    };
    expect(((await look(csv, inInches)).body as ImportPreviewBody).seen!.position_mm[0]).toBeCloseTo(
      520.7,
      6,
    );
    const { status, body } = await send(url(before.id, preview.reading), csv);
    expect([status, body]).toEqual([201, { recordingId: 7, remount: 4, rows: 30 } satisfies ImportedBody]);
    expect((await builds())[0]!.recordings.at(-1)).toMatchObject({ state: 'complete', rig: 'file rig.csv' });
    expect((await keeping()).undo!.words).toBe("import of one recording into 'old seal'");
    await bench.post('/api/keeping/undo', { editId: (await keeping()).undo!.id });
    expect((await builds())[0]!.recordings.at(-1)!.state).toBe('discarded');
  });

  it('of the same file twice is refused, since it is no further remount', async () => {
    const { before, after } = enterTwoBuilds(bench.logbook);
    const { reading } = (await look(csv)).body as ImportPreviewBody;
    await send(url(before.id, reading), csv);
    const { status, body } = await send(url(after.id, reading), csv);
    expect([status, (body as ApiError).found]).toEqual([
      409,
      "the same file in the logbook already, as remount 4 of 'old seal'",
    ]);
  });

  it('names file, line, column, found and wanted where it is refused, and leaves nothing behind', async () => {
    const { before } = enterTwoBuilds(bench.logbook);
    const { reading } = (await look(csv)).body as ImportPreviewBody;
    const { status, body } = await send(url(before.id, reading), csv.replace('\n0,1;', '\n0,1 s;'));
    expect(status).toBe(409);
    expect(body).toEqual({
      code: 'csv-cell',
      where: 'rig.csv, line 12, column Zeit [s]',
      found: "'0,1 s'",
      wanted: 'a number',
    } satisfies ApiError);
    expect(bench.logbook.listRecordings({ withDiscarded: true })).toHaveLength(6);
  });

  it('shows beside the preview why a reading cannot be', async () => {
    const { reading } = (await look(csv)).body as ImportPreviewBody;
    const { body } = await look(csv, { ...reading, columns: reading.columns.slice(1) });
    expect(body).toMatchObject({ seen: null, refusal: { found: 'no column for time' } });
  });

  it.each([
    ['no JSON', 'x', 'query.reading'],
    ['another shape', '{"delimiter":"|"}', 'query.reading.delimiter'],
  ])('is refused for a reading that is %s', async (_what, text, where) => {
    const { status, body } = await send(url(1, null).replace('reading=null', `reading=${text}`), csv);
    expect([status, (body as ApiError).where]).toEqual([400, where]);
  });

  it('takes no more bytes than a recording of half an hour has', async () => {
    const { before } = enterTwoBuilds(bench.logbook);
    const { reading } = (await look(csv)).body as ImportPreviewBody;
    expect((await send(url(before.id, reading), new Uint8Array(64 * 1024 * 1024 + 1))).status).toBe(413);
    expect((await send('/api/imports/preview?name=x', new Uint8Array(300 * 1024))).status).toBe(413);
  });
});

describe('the export', () => {
  it('is an archive of every recording, in the bin or not, with an index', async () => {
    const { after } = enterTwoBuilds(bench.logbook);
    await bench.post('/api/bin', { kind: 'build', item: String(after.id) });
    const { rawPayload, headers } = await bench.server.inject({
      url: '/api/export.zip',
      headers: { host: '127.0.0.1' },
    });
    expect(headers['content-disposition']).toMatch(/^attachment; filename="logbook-[\d-]+\.zip"$/);
    const text = rawPayload.toString('latin1');
    for (let id = 1; id <= 6; id++) expect(text).toContain(`recording-${id}/recording.json`);
    expect(text.lastIndexOf('logbook.json')).toBeGreaterThan(text.lastIndexOf('recording-6/force.csv'));
  });
});
