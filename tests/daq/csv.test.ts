import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readTargetCsv } from '../../daq/csv/target-csv.js';
import { readTraceCsv } from '../../daq/csv/trace-csv.js';
import { traceCsv } from '../../daq/csv/write-trace-csv.js';
import { DaqError } from '../../daq/daq-error.js';

const file = (text: string | Uint8Array) => ({
  name: 'run.csv',
  bytes: typeof text === 'string' ? new TextEncoder().encode(text) : text,
});
const read = async (text: string | Uint8Array) => (await readTraceCsv(file(text))).trace;
const refusal = (text: string | Uint8Array): Promise<DaqError> =>
  readTraceCsv(file(text)).then(
    () => expect.fail('was read'),
    (error) => error,
  );

describe('a recording as CSV', () => {
  it.each([
    ['the plain form', 'time_s,displacement_mm,force_N\n0,10,1.5\n0.5,11,-2\n'],
    ['no newline at the end', 'time_s,displacement_mm,force_N\n0,10,1.5\n0.5,11,-2'],
    ['CRLF and a byte order mark', '\uFEFFtime_s,displacement_mm,force_N\r\n0,10,1.5\r\n0.5,11,-2\r\n'],
    ['other order', 'force_N,time_s,displacement_mm\n1.5,0,10\n-2,0.5,11\n'],
    ['milliseconds and metres', 'time_ms,displacement_m,force_N\n0,0.01,1.5\n500,0.011,-2\n'],
    ['microseconds and micrometres', 'time_us,displacement_um,force_mN\n0,10000,1500\n500000,11000,-2000\n'],
    ['position for displacement', 'time_s,position_mm,force_N\n0,10,1.5\n0.5,11,-2\n'],
    ['units in brackets', 'Time (s),Displacement [mm],Force (N)\n0,10,1.5\n0.5,11,-2\n'],
    ['decimal commas', 'time_s;displacement_mm;force_N\n0;10,0;1,5\n0,5;11,0;-2,0\n'],
    ['semicolons with decimal points', 'time_s;displacement_mm;force_N\n0;10.0;1.5\n0.5;11;-2\n'],
    ['tabs', 'time_s\tdisplacement_mm\tforce_N\n0\t10\t1.5\n0.5\t11\t-2\n'],
    ['quotes', '"time_s","displacement_mm","force_N"\n"0","10","1.5"\n0.5,"11",-2\n'],
    ['quoted decimal commas', 'time_s,displacement_mm,force_N\n0,10,"1,5"\n"0,5",11,-2\n'],
    ['spaces around numbers', 'time_s, displacement_mm, force_N\n 0 , 10, 1.5\n0.5, 11 ,-2 \n'],
    ['exponents and plus signs', 'time_s,displacement_mm,force_N\n0e0,1e1,+1.5E+0\n5E-1,.11e2,-2.\n'],
    ['columns nobody asked for', 'note,time_s,displacement_mm,force_N,x\nhi,0,10,1.5,\n,0.5,11,-2,9\n'],
    [
      'blank lines and empty rows at the end',
      'time_s,displacement_mm,force_N\n0,10,1.5\n\n0.5,11,-2\n,,\n \n\n',
    ],
    ['a column without a name', 'time_s,displacement_mm,force_N,\n0,10,1.5,\n0.5,11,-2,\n'],
  ])('is read in %s', async (_form, text) => {
    const { force, position, temperature } = await read(text);
    expect([...force.time_s]).toEqual([0, 0.5]);
    expect([...force.force_N]).toEqual([1.5, -2]);
    expect([...position.position_m]).toEqual([0.01, 0.011]);
    expect(temperature).toBeUndefined();
  });

  it.each([
    ['lbf', 1, 4.4482216152605],
    ['kgf', 1, 9.80665],
    ['gf', 1000, 9.80665],
    ['kN', 1, 1000],
  ])('reads force in %s', async (unit, value, force_N) => {
    const { force } = await read(`time_s,displacement_mm,force_${unit}\n0,0,${value}\n`);
    expect(force.force_N[0]).toBeCloseTo(force_N, 12);
  });

  it.each([
    ['degF', 77, 25],
    ['degC', 25, 25],
    ['K', 298.15, 25],
    ['°C', 25, 25],
  ])('reads temperature in %s', async (unit, value, degC) => {
    const { temperature } = await read(
      `time_s,displacement_in,force_N,temperature_${unit}\n0,1,1,${value}\n`,
    );
    expect(temperature!.temperature_degC[0]).toBeCloseTo(degC, 10);
  });

  it('takes an empty cell as a channel that was not sampled then', async () => {
    const { force, position, temperature } = await read(
      'time_s,displacement_mm,force_N,temperature_degC\n0,1,,\n1,,2,20\n2,3,4,\n3,,,\n',
    );
    expect([...force.time_s]).toEqual([1, 2]);
    expect([...force.force_N]).toEqual([2, 4]);
    expect([...position.time_s]).toEqual([0, 2]);
    expect([...temperature!.time_s]).toEqual([1]);
  });

  it('names what the header said', async () => {
    const { header } = await readTraceCsv(file('note;force_N;time_ms;displacement_mm\n;1;2;3\n'));
    expect(header).toEqual({
      file: 'run.csv',
      columns: { force: 'force_N', time: 'time_ms', position: 'displacement_mm' },
      ignored: ['note'],
      delimiter: ';',
      rows: 1,
    });
  });

  it.each([
    ['', 'csv-empty', 'run.csv, line 1: found no header; wanted names of columns'],
    ['time_s,displacement_mm,force_N\n', 'csv-empty', 'run.csv, line 2: found no rows'],
    [
      'time_s,force_N\n0,1\n',
      'csv-header',
      "found columns 'time_s', 'force_N'; wanted time_s,displacement_mm,force_N",
    ],
    ['0,1,2\n1,2,3\n', 'csv-header', "line 1: found columns '0', '1', '2'"],
    [
      'time_s,displacement_mm,force_kg\n0,1,2\n',
      'csv-header',
      "found column 'force_kg'; wanted one of force_N,",
    ],
    ['time_s,displacement_mm,force\n0,1,2\n', 'csv-header', "found column 'force'"],
    ['time_s,displacement_mm,force_N,force_lbf\n0,1,2,3\n', 'csv-header', "found 'force_N' and 'force_lbf'"],
    [
      'time_s,displacement_mm,force_N\n0,1,2\n1,x,2\n',
      'csv-cell',
      "line 3, column displacement_mm: found 'x'; wanted a number",
    ],
    ['time_s,displacement_mm,force_N\n0,1,NaN\n', 'csv-cell', "line 2, column force_N: found 'NaN'"],
    ['time_s,displacement_mm,force_N\n0,1,Infinity\n', 'csv-cell', "found 'Infinity'"],
    ['time_s,displacement_mm,force_N\n0,1,1e999\n', 'csv-cell', "found '1e999'"],
    ['time_s,displacement_mm,force_N\n0,1,1.2.3\n', 'csv-cell', "found '1.2.3'"],
    ['time_s,displacement_mm,force_N\n0,1,1e\n', 'csv-cell', "found '1e'"],
    ['time_s,displacement_mm,force_N\n0,1,-\n', 'csv-cell', "found '-'"],
    ['time_s,displacement_mm,force_N\n0,1,1 2\n', 'csv-cell', "found '1 2'"],
    ['time_s,displacement_mm,force_N\n0,1,0x10\n', 'csv-cell', "found '0x10'"],
    ['time_s;displacement_mm;force_N\n0;1;1.234,5\n', 'csv-cell', "found '1.234,5'"],
    ['time_s;displacement_mm;force_N\n0;1,5;1.234\n', 'csv-cell', "found '1.234'"],
    ['time_s,displacement_mm,force_N\n,1,2\n', 'csv-cell', 'line 2, column time_s: found an empty cell'],
    ['time_s,displacement_mm,force_N\n0,1,2\n0,1,2\n', 'csv-time', 'line 3, column time_s: found 0 after 0'],
    [
      'time_s,displacement_mm,force_N\n0,1,2\n\n2,1,2\n1,1,2\n',
      'csv-time',
      'line 5, column time_s: found 1 after 2',
    ],
    ['time_s,displacement_mm,force_N\n0,1\n', 'csv-row', 'line 2: found 2 cells; wanted 3, as in the header'],
    ['time_s,displacement_mm,force_N\n0,1,2,3\n', 'csv-row', 'line 2: found 4 cells'],
    ['time_s,displacement_mm,force_N\n0,0,5,1,5\n', 'csv-row', 'line 2: found 5 cells'],
    ['time_s,displacement_mm,force_N\n0,1,"2\n', 'csv-row', 'found quotes out of place'],
    [
      'time_s,displacement_mm,force_N\n0,1,"2"\n1,"x",2\n',
      'csv-cell',
      "line 3, column displacement_mm: found 'x'",
    ],
    [
      'time_s,displacement_mm,force_N\n"0",1,2\n0,1,2\n',
      'csv-time',
      'line 3, column time_s: found 0 after 0',
    ],
    ['\u0000\u0001\u0002', 'csv-encoding', 'found bytes that are no text'],
  ])('%j is refused as %s, in one line', async (text, code, message) => {
    const error = await refusal(text);
    expect(error).toBeInstanceOf(DaqError);
    expect(error.code).toBe(code);
    expect(error.message).toContain(message);
    expect(error.message).not.toContain('\n');
  });

  it('says UTF-16 when it sees it', async () => {
    const utf16 = Buffer.from('\uFEFFtime_s,displacement_mm,force_N\n0,1,2\n', 'utf16le');
    expect((await refusal(utf16)).message).toContain('found UTF-16 text; wanted CSV as UTF-8');
  });

  it('says when a file is not there, or is a folder', async () => {
    await expect(readTraceCsv('/nowhere/run.csv')).rejects.toMatchObject({ code: 'file-missing' });
    await expect(readTraceCsv('/')).rejects.toMatchObject({
      code: 'file-unreadable',
      message: /found a folder/,
    });
  });
});

describe('reading numbers', () => {
  const number = fc.oneof(
    fc.double({ noNaN: true, noDefaultInfinity: true }).map(String),
    fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 }).map((x) => x.toFixed(4)),
    fc
      .tuple(fc.bigInt({ min: -(10n ** 25n), max: 10n ** 25n }), fc.integer({ min: -40, max: 40 }))
      .map(([mantissa, power]) => `${mantissa}e${power}`),
    fc.stringMatching(/^[+-]?[0-9]{1,20}\.[0-9]{0,25}$/),
  );

  it('gives exactly what the language itself reads, whatever the digits', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(number, { minLength: 1, maxLength: 40 }), async (texts) => {
        const rows = texts.map((text, row) => `${row},0,${text}`).join('\n');
        const { force } = await read(`time_s,displacement_mm,force_N\n${rows}`);
        expect([...force.force_N]).toEqual(texts.map(Number));
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  it('gives the same through the general parser', async () => {
    const cell = fc.option(number, { nil: '' });
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(cell, cell), { minLength: 1, maxLength: 20 }),
        fc.constantFrom(',', ';', '\t'),
        fc.constantFrom('\n', '\r\n'),
        async (cells, delimiter, newline) => {
          const lines = (quote: string) =>
            [['time_s', 'displacement_mm', 'force_N'], ...cells.map(([a, b], row) => [row, a, b])]
              .map((line) => line.map((text) => `${quote}${text}${quote}`).join(delimiter))
              .join(newline);
          expect(await read(lines('"'))).toEqual(await read(lines('')));
        },
      ),
      { seed: 2, numRuns: 200 },
    );
  });

  it('never fails but with words, whatever the bytes', async () => {
    const bytes = fc.oneof(
      fc.uint8Array({ maxLength: 200 }),
      fc
        .string({ unit: fc.constantFrom(...'0123456789.,;-+eE \t\r\n"x'), maxLength: 120 })
        .map((body) => new TextEncoder().encode(`time_s,displacement_mm,force_N\n${body}`)),
    );
    await fc.assert(
      fc.asyncProperty(bytes, async (content) => {
        const outcome = await readTraceCsv(file(content)).catch((error) => error);
        expect(outcome instanceof DaqError || 'trace' in outcome).toBe(true);
      }),
      { seed: 3, numRuns: 1000 },
    );
  });
});

describe('a target as CSV', () => {
  it('is read in mm/s or m/s', async () => {
    for (const text of [
      'velocity_mm_per_s,force_N\n-100,-2\n0,0\n100,3\n',
      'force_N;velocity_m_per_s\n-2;-0,1\n0;0\n3;0,1\n',
      'Velocity (mm/s),Force (N)\n-100,-2\n0,0\n100,3\n',
    ]) {
      const { target } = await readTargetCsv(file(text));
      expect([...target.velocity_m_per_s]).toEqual([-0.1, 0, 0.1]);
      expect([...target.force_N]).toEqual([-2, 0, 3]);
    }
  });

  it('is refused with what was wanted', async () => {
    await expect(readTargetCsv(file('speed,force_N\n1,2\n'))).rejects.toThrow(
      /wanted velocity_mm_per_s,force_N/,
    );
    await expect(readTargetCsv(file('velocity_mm_per_s,force_N\n1,\n'))).rejects.toThrow(
      /line 2, column force_N/,
    );
  });
});

describe('a recording written as CSV', () => {
  const distinct = (from: number, to: number) =>
    fc
      .uniqueArray(fc.double({ min: from, max: to, noNaN: true }), { minLength: 1, maxLength: 20 })
      .map((times) => Float64Array.from(times.map((time) => time + 0)).toSorted());

  it('reads back bit for bit, also on the seconds of an epoch and at the ends of what a float holds', async () => {
    const number = fc.double({ noNaN: true, noDefaultInfinity: true });
    await fc.assert(
      fc.asyncProperty(
        distinct(1.7e9, 1.8e9),
        fc.infiniteStream(number),
        fc.infiniteStream(fc.double({ min: -0.2, max: 0.2, noNaN: true })),
        async (times, forces, positions) => {
          const force_N = times.map(() => forces.next().value! + 0);
          const position_m = times.map(() => positions.next().value! + 0);
          const trace = {
            force: { time_s: times, force_N },
            position: { time_s: times, position_m },
          };
          const bytes = Buffer.from([...traceCsv(trace)].join(''));
          const { trace: back } = await readTraceCsv({ name: 'run.csv', bytes });
          expect(back.force.time_s).toEqual(times);
          expect(back.force.force_N).toEqual(force_N);
          expect(back.position.position_m).toEqual(position_m);
        },
      ),
      { seed: 6, numRuns: 300 },
    );
  });
});
