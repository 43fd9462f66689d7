import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { readShelf } from '../../daq/files/read-parts.js';
import { openLogbook } from '../../daq/index.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-shelf-'));
let count = 0;
let path = '';
beforeEach(() => {
  path = join(folder, `shelf-${++count}.sqlite`);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const thin = { name: 'thin', oil_cSt: 200 };

describe('the shelf in the logbook', () => {
  it('holds parts of every kind, and reads as a shelf file would', async () => {
    const logbook = openLogbook(path);
    logbook.putOnShelf('oil', thin);
    logbook.putOnShelf('seal', { name: 'blue' });
    logbook.putOnShelf('spring', { name: 'soft', rate_N_per_mm: 0.2 });
    logbook.putOnShelf('drill', { name: '1.55 mm', drill_mm: 1.55 });
    const stock = { name: 'stock', bore_mm: 12, rod_mm: 3, holes: 3, hole_mm: 1.2, thickness_mm: 2.5 };
    logbook.putOnShelf('piston', stock);
    const shelf = logbook.readShelf();
    expect(shelf).toEqual({
      oils: [thin],
      seals: [{ name: 'blue' }],
      springs: [{ name: 'soft', rate_N_per_mm: 0.2 }],
      drills_mm: [1.55],
      pistons: [stock],
    });
    const file = { name: 'shelf.json', bytes: new TextEncoder().encode(JSON.stringify(shelf)) };
    expect(await readShelf(file)).toEqual(shelf);
    logbook.close();
  });

  it('keeps what is removed in a bin, and gives it back', () => {
    const logbook = openLogbook(path);
    logbook.putOnShelf('oil', thin);
    logbook.removeFromShelf('oil', 'thin');
    expect(logbook.readShelf().oils).toEqual([]);
    expect(logbook.listShelf()).toMatchObject([{ kind: 'oil', name: 'thin', binned: true }]);
    expect(() => logbook.removeFromShelf('oil', 'thin')).toThrow(
      /it is in the bin; wanted an item on the shelf/,
    );
    logbook.restoreToShelf('oil', 'thin');
    expect(logbook.readShelf().oils).toEqual([thin]);
    expect(() => logbook.restoreToShelf('oil', 'thin')).toThrow(/wanted an item in the bin/);
    expect(() => logbook.restoreToShelf('seal', 'thin')).toThrow(/no such item/);
    logbook.close();
  });

  it('describes an item anew without forgetting what was said before, and never edits', () => {
    const logbook = openLogbook(path);
    logbook.putOnShelf('oil', thin);
    logbook.putOnShelf('oil', { ...thin, oil_cSt: 210 });
    expect(logbook.readShelf().oils).toEqual([{ name: 'thin', oil_cSt: 210 }]);
    logbook.close();
    const file = new Database(path);
    expect(file.prepare('SELECT count(*) FROM shelf_event').pluck().get()).toBe(2);
    expect(() => file.exec("UPDATE shelf_event SET name = 'other'")).toThrow('shelf events stay');
    expect(() => file.exec('DELETE FROM shelf_event')).toThrow('shelf events are kept');
    file.close();
  });
});

describe('an oil of a shelf file', () => {
  const shelf = (oil: object) =>
    readShelf({ name: 'shelf.json', bytes: new TextEncoder().encode(JSON.stringify({ oils: [oil] })) });

  it('may be a mineral oil with two viscosities, or one that was measured', async () => {
    const viscosities = [
      { cSt: 32, degC: 40 },
      { cSt: 5.4, degC: 100 },
    ];
    const measured = { against: 'thin', ratio: 1.3, standardError: 0.01 };
    await expect(shelf({ name: 'fork oil', family: 'mineral', viscosities })).resolves.toBeDefined();
    await expect(shelf({ name: 'no label', measured })).resolves.toBeDefined();
  });

  it('is refused where it is a label only', async () => {
    await expect(shelf({ name: '30 wt' })).rejects.toThrow(
      /key oils\.0\.oil_cSt: found nothing; wanted the viscosity of the oil/,
    );
  });
});
