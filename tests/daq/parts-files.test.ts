import { describe, expect, it } from 'vitest';
import { readPiston, readShelf } from '../../daq/files/read-parts.js';

const file = (name: string, value: unknown) => ({
  name,
  bytes: new TextEncoder().encode(typeof value === 'string' ? value : JSON.stringify(value)),
});
const piston = { bore_mm: 12, rod_mm: 3, holes: 3, hole_mm: 1.2, thickness_mm: 2.5 };

describe('piston.json', () => {
  it('is read with what it must have and what it may have', async () => {
    expect(await readPiston(file('piston.json', piston))).toEqual(piston);
    const full = { ...piston, oil_cSt: 350, oil_density_kg_per_m3: 960, name: 'stock' };
    expect(await readPiston(file('piston.json', full))).toEqual(full);
  });

  it.each([
    [
      { ...piston, bore_mm: undefined },
      'piston.json, key bore_mm: found nothing; wanted the inner diameter of the body',
    ],
    [{ ...piston, holes: 2.5 }, 'key holes: found 2.5; wanted a whole number of holes'],
    [{ ...piston, holes: 0 }, 'key holes: found 0; wanted a whole number of holes'],
    [
      { ...piston, hole_mm: '1.2' },
      'key hole_mm: found "1.2"; wanted the diameter of a hole, a number above 0',
    ],
    [{ ...piston, thickness_mm: -1 }, 'key thickness_mm: found -1'],
    [{ ...piston, rod_mm: 12 }, 'key rod_mm: found 12; wanted a shaft thinner than the bore'],
    [{ ...piston, holes: 40, hole_mm: 3 }, 'key hole_mm: found 3; wanted holes that have room in the bore'],
    [[piston], 'wanted an object with bore_mm'],
    ['{"bore_mm": 12', 'piston.json: found no JSON'],
  ])('%j is refused with file, place, found and wanted', async (value, message) => {
    await expect(readPiston(file('piston.json', value))).rejects.toThrow(message);
    await expect(readPiston(file('piston.json', value))).rejects.toMatchObject({ code: 'json-invalid' });
  });

  it('says when it is not there', async () => {
    await expect(readPiston('/nowhere/piston.json')).rejects.toMatchObject({ code: 'file-missing' });
  });
});

describe('shelf.json', () => {
  it('may hold any of oils, pistons, drills, seals and springs', async () => {
    const nothing = { oils: [], pistons: [], drills_mm: [], seals: [], springs: [] };
    expect(await readShelf(file('shelf.json', {}))).toEqual(nothing);
    const some = {
      oils: [{ name: 'thin', oil_cSt: 200 }],
      drills_mm: [1, 1.1],
      pistons: [{ ...piston, name: 'stock' }],
    };
    expect(await readShelf(file('shelf.json', some))).toEqual({ ...nothing, ...some });
  });

  it('is refused with file, place, found and wanted', async () => {
    const bad = {
      oils: [
        { name: 'thin', oil_cSt: 200 },
        { name: 'thick', oil_cSt: 'heavy' },
      ],
    };
    await expect(readShelf(file('shelf.json', bad))).rejects.toThrow(
      'shelf.json, key oils.1.oil_cSt: found "heavy"; wanted the viscosity of the oil at 25 °C',
    );
    await expect(readShelf(file('shelf.json', { drills_mm: [0] }))).rejects.toThrow(
      'key drills_mm.0: found 0',
    );
  });
});
