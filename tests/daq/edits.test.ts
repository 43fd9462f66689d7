import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { type BuildId, capture, DaqError, type Logbook, openLogbook } from '../../daq/index.js';
import { MIGRATIONS, SCHEMA_VERSION } from '../../daq/logbook/schema.js';
import { tinyJpeg, tinyPng, tinyWebp } from './tiny-photos.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-edits-'));
let count = 0;
let path = '';
beforeEach(() => {
  path = join(folder, `edits-${++count}.sqlite`);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function refusal(act: () => unknown): DaqError {
  try {
    act();
  } catch (error) {
    if (error instanceof DaqError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

function record(logbook: Logbook, buildId: BuildId) {
  return logbook.importRecording(
    {
      buildId,
      procedure: { ...capture('speed-ladder', null), happened: [], events: [] },
      startedAt: '2026-01-02T03:04:05.000Z',
    },
    [
      { kind: 'force', unit: 'N', times_s: Float64Array.of(0, 0.1), values: Float64Array.of(0, 1) },
      { kind: 'position', unit: 'm', times_s: Float64Array.of(0, 0.1), values: Float64Array.of(0, 0.01) },
    ],
  );
}

/** A first build and one made from it by another seal. */
function twoBuilds() {
  const logbook = openLogbook(path);
  const shock = logbook.createShock({ name: 'left' });
  const first = logbook.createBuild({
    shockId: shock.id,
    name: 'as bought',
    properties: { seal: 'blue', oil: 'thin', oil_cSt: 200, piston: 'stock', holes: 3, hole_mm: 1.2 },
  });
  const second = logbook.createBuild({
    shockId: shock.id,
    name: 'low drag',
    parentBuildId: first.id,
    properties: { seal: 'red' },
  });
  return { logbook, shock, first, second };
}

const undo = (logbook: Logbook) => logbook.undoEdit(logbook.editsAtHand().undo!.id);
const redo = (logbook: Logbook) => logbook.redoEdit(logbook.editsAtHand().redo!.id);
const reopened = (logbook: Logbook) => {
  logbook.close();
  return openLogbook(path);
};

/** All that people see of shocks, builds, recordings, photos and the shelf; what was made and undone lies in the bin. */
const seen = (logbook: Logbook) =>
  JSON.stringify([
    logbook.listShocks(),
    logbook.listBuilds(),
    logbook.listRecordings().map(({ id, state, remount }) => ({ id, state, remount })),
    logbook.listPhotos().filter(({ binned }) => !binned),
    logbook.readShelf(),
  ]);

describe('a lineage of parts', () => {
  it('inherits what a build says nothing about, and names each change from what to what', () => {
    const { logbook, second } = twoBuilds();
    expect(second.changes).toEqual([{ part: 'seal', from: { seal: 'blue' }, to: { seal: 'red' } }]);
    expect(second.wholeProperties).toMatchObject({ seal: 'red', oil: 'thin', oil_cSt: 200, holes: 3 });
    expect(second.fitted.filter(({ inherited }) => inherited).map(({ part }) => part)).toEqual([
      'oil',
      'piston',
      'holes',
    ]);
    logbook.close();
  });

  it('takes an oil as a whole, and no old holes with another piston', () => {
    const { logbook, shock, second } = twoBuilds();
    const third = logbook.createBuild({
      shockId: shock.id,
      name: 'thick',
      parentBuildId: second.id,
      properties: { oil: 'thick', piston: 'own' },
    });
    expect(third.wholeProperties).toEqual({ seal: 'red', oil: 'thick', piston: 'own' });
    logbook.close();
  });

  it('follows when a part of an ancestor is put right', () => {
    const { logbook, first } = twoBuilds();
    logbook.editBuild(first.id, { properties: { ...first.properties, oil_cSt: 210 } });
    expect(logbook.findBuild('low drag')!.wholeProperties.oil_cSt).toBe(210);
    logbook.close();
  });
});

describe('an edit', () => {
  it('is undone and done again, also by a program that was started since', () => {
    let { logbook, second } = twoBuilds();
    const names = () => logbook.listBuilds().map(({ name }) => name);
    logbook.editBuild(second.id, { name: 'lower drag' });
    logbook = reopened(logbook);
    undo(logbook);
    expect(names()).toEqual(['as bought', 'low drag']);
    logbook = reopened(logbook);
    redo(logbook);
    expect(names()).toEqual(['as bought', 'lower drag']);
    logbook.close();
  });

  it('of every kind goes back to the beginning and forth to the end, state by state', () => {
    const { logbook, shock, first, second } = twoBuilds();
    const recording = record(logbook, second.id);
    logbook.noteImport([recording]);
    const steps = [
      () => logbook.editShock(shock.id, { name: 'front left', properties: { note: 'leaks' } }),
      () => logbook.editBuild(first.id, { name: 'b', properties: { note: 'x' }, change: 'y' }),
      () => logbook.createBuild({ shockId: shock.id, name: 'as bought' }),
      () => logbook.discardRecording(recording, 'loose mount'),
      () => logbook.restoreRecording(recording),
      () => logbook.addPhoto(first.id, tinyPng(4, 3), 'worn seal', 'a.png'),
      () => logbook.captionPhoto(logbook.listPhotos()[0]!.id, 'new seal'),
      () => logbook.binPhoto(logbook.listPhotos()[0]!.id),
      () => logbook.putOnShelf('seal', { name: 'blue' }),
      () => logbook.putOnShelf('oil', { name: 'thin', oil_cSt: 200 }),
      () => logbook.putOnShelf('oil', { name: 'thin', oil_cSt: 210 }),
      () => logbook.removeFromShelf('oil', 'thin'),
      () => logbook.binBuild(second.id),
      () => logbook.restoreBuild(second.id),
    ];
    const states = [seen(logbook)];
    for (const step of steps) {
      step();
      states.push(seen(logbook));
    }
    for (const [i, state] of states.slice(1).entries()) expect(state).not.toBe(states[i]);
    for (const state of states.slice(0, -1).toReversed()) {
      undo(logbook);
      expect(seen(logbook)).toBe(state);
    }
    for (const state of states.slice(1)) {
      redo(logbook);
      expect(seen(logbook)).toBe(state);
    }
    expect(logbook.editsAtHand().redo).toBeNull();
    logbook.close();
  });

  it('made after an undo takes the place of what was undone', () => {
    const { logbook, second } = twoBuilds();
    logbook.editBuild(second.id, { name: 'x' });
    undo(logbook);
    logbook.editBuild(second.id, { name: 'y' });
    expect(logbook.editsAtHand().redo).toBeNull();
    undo(logbook);
    expect(logbook.findBuild('low drag')).toBeDefined();
    logbook.close();
  });

  it('that changes nothing is none', () => {
    const { logbook, second } = twoBuilds();
    const before = logbook.editsAtHand().undo!.id;
    logbook.editBuild(second.id, { name: second.name, properties: { ...second.properties } });
    expect(logbook.editsAtHand().undo!.id).toBe(before);
    logbook.close();
  });

  it('of somebody else in between is not undone by mistake', () => {
    const { logbook, first, second } = twoBuilds();
    logbook.editBuild(second.id, { name: 'x' });
    const seenHere = logbook.editsAtHand().undo!.id;
    const other = openLogbook(path);
    other.editBuild(first.id, { name: 'y' });
    expect(refusal(() => logbook.undoEdit(seenHere))).toMatchObject({ code: 'wrong-state' });
    expect(logbook.listBuilds().map(({ name }) => name)).toEqual(['y', 'x']);
    other.close();
    logbook.close();
  });

  it('that is refused leaves no trace', () => {
    const { logbook, first, shock } = twoBuilds();
    const before = seen(logbook);
    logbook.createShock({ name: 'right' });
    const at = logbook.editsAtHand().undo!.id;
    expect(refusal(() => logbook.editBuild(first.id, { change: 'z', name: 'low drag' })).code).toBe(
      'name-taken',
    );
    expect(refusal(() => logbook.editShock(shock.id, { name: 'right' })).code).toBe('name-taken');
    expect(refusal(() => logbook.editBuild(99 as BuildId, { name: 'x' })).code).toBe('unknown-name');
    expect(logbook.editsAtHand().undo!.id).toBe(at);
    expect(JSON.parse(seen(logbook))[1]).toEqual(JSON.parse(before)[1]);
    logbook.close();
  });

  it('cannot be changed or forgotten, even by hand', () => {
    twoBuilds().logbook.close();
    const file = new Database(path);
    expect(() => file.exec("UPDATE edit SET action = 'bin'")).toThrow('edits stay');
    expect(() => file.exec('DELETE FROM edited_value')).toThrow('edits are kept');
    file.close();
  });

  it('can be made in a logbook of before there were edits', () => {
    const old = new Database(path);
    for (const step of MIGRATIONS.slice(0, 4)) old.exec(step);
    old.pragma('application_id = 0x6470626c');
    old.pragma('user_version = 4');
    old.exec(`INSERT INTO shock VALUES (1, 'left', '{}', '2026-01-01T00:00:00.000Z');
      INSERT INTO build VALUES (1, 1, NULL, 'as bought', '', '{}', '2026-01-01T00:00:00.000Z')`);
    old.close();
    const logbook = openLogbook(path);
    expect(logbook.editsAtHand()).toEqual({ undo: null, redo: null });
    logbook.editBuild(1 as BuildId, { name: 'stock' });
    undo(logbook);
    expect(logbook.findBuild('as bought')).toBeDefined();
    expect(SCHEMA_VERSION).toBeGreaterThan(4);
    logbook.close();
  });
});

describe('the bin', () => {
  it('takes a build with its recordings out of every list, leaves its children, and gives it back', () => {
    const { logbook, first, second } = twoBuilds();
    record(logbook, first.id);
    const kept = record(logbook, second.id);
    logbook.binBuild(first.id);
    expect(logbook.listBuilds().map(({ name }) => name)).toEqual(['low drag']);
    expect(logbook.listBuilds()[0]!.wholeProperties.oil).toBe('thin');
    expect(logbook.listRecordings().map(({ id }) => id)).toEqual([kept]);
    expect(logbook.listBin()).toMatchObject([{ kind: 'build', name: 'as bought', recordings: 1 }]);
    expect(refusal(() => logbook.binBuild(first.id)).code).toBe('unknown-name');
    logbook.restoreBuild(first.id);
    expect(logbook.listRecordings()).toHaveLength(2);
    logbook.close();
  });

  it('frees the name of what lies in it, and says so when it comes back to find it taken', () => {
    const { logbook, shock, second } = twoBuilds();
    logbook.binBuild(second.id);
    logbook.createBuild({ shockId: shock.id, name: 'low drag' });
    expect(refusal(() => logbook.restoreBuild(second.id)).code).toBe('name-taken');
    logbook.close();
  });

  it('gives a recording back with a place among the remounts that no other has', () => {
    const { logbook, second } = twoBuilds();
    const [a, b] = [record(logbook, second.id), record(logbook, second.id)];
    logbook.discardRecording(b, 'loose mount');
    const c = record(logbook, second.id);
    logbook.restoreRecording(b);
    const remounts = logbook.listRecordings().map(({ id, remount, state }) => ({ id, remount, state }));
    expect(remounts).toEqual([
      { id: a, remount: 1, state: 'complete' },
      { id: b, remount: 3, state: 'complete' },
      { id: c, remount: 2, state: 'complete' },
    ]);
    logbook.close();
  });

  it('emptied of a build leaves those made from it with the parts they have from it', () => {
    const { logbook, first, second } = twoBuilds();
    logbook.binBuild(first.id);
    logbook.emptyBin(1);
    const [left] = logbook.listBuilds({ withBinned: true });
    expect(left).toMatchObject({ id: second.id, parentName: null });
    expect(left!.wholeProperties).toMatchObject({ seal: 'red', oil_cSt: 200, holes: 3 });
    logbook.close();
  });

  it('does not take a build that is being recorded', () => {
    const { logbook, second } = twoBuilds();
    logbook.startRecording({
      buildId: second.id,
      rigId: null,
      calibrationId: 1 as never,
      procedure: { ...capture('speed-ladder', null), happened: [], events: [] },
      startedAt: '2026-01-02T03:04:05.000Z',
      identity: null,
      simulated: false,
    });
    expect(refusal(() => logbook.binBuild(second.id)).code).toBe('wrong-state');
    // The last edit made it; taken back, it would lie in the bin as well.
    expect(refusal(() => undo(logbook)).code).toBe('wrong-state');
    expect(logbook.editsAtHand().undo).toMatchObject({ action: 'create' });
    logbook.close();
  });

  it('is emptied only of what was seen in it; then samples and photos are gone, and nothing before can be undone', () => {
    let { logbook, first, second } = twoBuilds();
    const [kept, thrown] = [record(logbook, first.id), record(logbook, first.id)];
    const withBuild = record(logbook, second.id);
    const photo = logbook.addPhoto(second.id, tinyJpeg(4, 3), '', 'a.jpg');
    logbook.putOnShelf('seal', { name: 'blue' });
    logbook.removeFromShelf('seal', 'blue');
    logbook.discardRecording(thrown, 'loose mount');
    logbook.binBuild(second.id);
    expect(
      logbook
        .listBin()
        .map(({ kind }) => kind)
        .sort(),
    ).toEqual(['build', 'recording', 'shelf']);
    expect(refusal(() => logbook.emptyBin(2)).code).toBe('wrong-state');
    logbook.emptyBin(3);
    logbook = reopened(logbook);
    expect(logbook.listBin()).toEqual([]);
    expect(logbook.listShelf()).toEqual([]);
    expect(logbook.editsAtHand()).toEqual({ undo: null, redo: null });
    expect(logbook.listRecordings({ withDiscarded: true }).map(({ id }) => id)).toEqual([kept]);
    expect(logbook.readChannels(withBuild)).toEqual([]);
    expect(logbook.readChannels(kept)).toHaveLength(2);
    expect(refusal(() => logbook.readPhoto(photo.id)).code).toBe('unknown-name');
    expect(logbook.listBuilds({ withBinned: true }).map(({ name }) => name)).toEqual(['as bought']);
    logbook.createBuild({ shockId: first.shockId, name: 'low drag', parentBuildId: first.id });
    logbook.close();
    const file = new Database(path);
    expect(file.prepare('SELECT count(*) FROM block WHERE recording_id = ?').pluck().get(thrown)).toBe(0);
    expect(file.prepare('SELECT content FROM photo').pluck().all()).toEqual([null]);
    expect(() => file.prepare("INSERT INTO emptied VALUES ('recording', ?)").run(kept)).toThrow(
      'only what lies in the bin is deleted',
    );
    expect(() => file.prepare('DELETE FROM block WHERE recording_id = ?').run(kept)).toThrow(
      'samples are kept',
    );
    file.close();
  });
});

describe('a photo', () => {
  it('is known by its bytes, and comes back as it was', () => {
    const { logbook, first } = twoBuilds();
    const kinds = [tinyPng(4, 3), tinyJpeg(40, 30), tinyWebp(400, 300)];
    const forms = kinds.map((bytes, i) => logbook.addPhoto(first.id, bytes, `p${i}`, 'innocent.txt'));
    expect(forms.map(({ mediaType, width_px, height_px }) => [mediaType, width_px, height_px])).toEqual([
      ['image/png', 4, 3],
      ['image/jpeg', 40, 30],
      ['image/webp', 400, 300],
    ]);
    for (const [i, { id }] of forms.entries())
      expect([...logbook.readPhoto(id).content]).toEqual([...kinds[i]!]);
    logbook.close();
  });

  it.each([
    [
      'a drawing that could carry a script',
      new TextEncoder().encode('<svg xmlns="http://www.w3.org/2000/svg"/>'),
    ],
    ['a page that calls itself a picture', new TextEncoder().encode('<html>'.padEnd(64))],
    ['a JPEG cut short', tinyJpeg(4, 3).subarray(0, 10)],
    ['nothing', new Uint8Array(0)],
    ['one that unpacks to gigabytes', tinyPng(60_000, 60_000)],
    ['one without any width', tinyPng(0, 3)],
    ['one of too many bytes', new Uint8Array(8 * 1024 * 1024 + 1)],
  ])('is refused when it is %s', (_what, bytes) => {
    const { logbook, first } = twoBuilds();
    const { code, detail } = refusal(() => logbook.addPhoto(first.id, bytes, '', 'seal.jpg'));
    expect(code).toBe('photo-refused');
    expect(detail.where).toBe('seal.jpg');
    expect(logbook.listPhotos()).toEqual([]);
    logbook.close();
  });
});
