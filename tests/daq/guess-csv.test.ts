import { describe, expect, it } from 'vitest';
import { type CsvGuess, DaqError, guessCsv, readStatedCsv } from '../../daq/index.js';

const source = (text: string) => ({ name: 'rig.csv', bytes: new TextEncoder().encode(text) });

/** Rows of a shock moved to and fro: seconds, mm, N. */
const moved = Array.from({ length: 40 }, (_, i) => ({
  time_s: i / 100,
  position_mm: 20 + 15 * Math.sin(i / 3),
  force_N: -4 * Math.cos(i / 3),
}));
const rowsOf = (join: string, cells: (row: (typeof moved)[number]) => (number | string)[], mark = '.') =>
  moved
    .map((row) =>
      cells(row)
        .map((cell) => (typeof cell === 'number' ? cell.toFixed(3).replace('.', mark) : cell))
        .join(join),
    )
    .join('\n');
const plain = (row: (typeof moved)[number]) => [row.time_s, row.position_mm, row.force_N];

const shortly = ({ reading, columns }: CsvGuess) => ({
  marks: `${reading.delimiter}${reading.decimalMark}`,
  headerLines: reading.headerLines,
  columns: columns.map(({ quantity, unit, reason }) => (quantity ? `${quantity} ${unit} ${reason}` : reason)),
});

describe('a guess at a foreign CSV file', () => {
  it.each([
    [
      'its own header',
      `time_s,displacement_mm,force_N\n${rowsOf(',', plain)}\n`,
      { marks: ',.', headerLines: 1, columns: ['time s named', 'position mm named', 'force N named'] },
    ],
    [
      'German words, semicolons and decimal commas',
      `Zeit [s];Weg [mm];Kraft [N]\n${rowsOf(';', plain, ',')}\n`,
      { marks: ';,', headerLines: 1, columns: ['time s word', 'position mm word', 'force N word'] },
    ],
    [
      'a page about the logger, and units in a line of their own',
      `Logger 3\nstarted;today\n\nt;Kanal A;Kanal B\nms;mm;lbf\n${rowsOf(';', ({ time_s, ...row }) => [1000 * time_s, row.position_mm, row.force_N])}\n`,
      { marks: ';.', headerLines: 5, columns: ['time ms word', 'position mm unit', 'force lbf unit'] },
    ],
    [
      'no header at all, in microseconds',
      `${rowsOf('\t', ({ time_s, ...row }) => [1e6 * time_s, row.position_mm, row.force_N])}\n`,
      { marks: '\t.', headerLines: 0, columns: ['time us rises', 'position mm order', 'force N order'] },
    ],
    [
      'a column of words between, and a force without a unit',
      `sample,state,load,stroke (in)\n${rowsOf(',', (row) => [row.time_s, 'ok', row.force_N, row.position_mm])}\n`,
      {
        marks: ',.',
        headerLines: 1,
        columns: ['time s rises', 'no-numbers', 'force N word', 'position in word'],
      },
    ],
    [
      'a force in a unit that nobody knows, which its owner has to say',
      `Zeit [s];Weg [mm];Kraft [kp]\n${rowsOf(';', plain, ',')}\n`,
      { marks: ';,', headerLines: 1, columns: ['time s word', 'position mm word', 'force  word'] },
    ],
    [
      'quotes around decimal commas',
      `"Zeit (s)","Weg (mm)","Kraft (N)"\n${rowsOf(',', (row) => plain(row).map((value) => `"${value.toFixed(3).replace('.', ',')}"`))}\n`,
      { marks: ',,', headerLines: 1, columns: ['time s word', 'position mm word', 'force N word'] },
    ],
  ])('sees %s', async (_what, text, wanted) => {
    const guess = guessCsv(source(text));
    expect(shortly(guess)).toEqual(wanted);
    const unknown = guess.columns.find(({ unit, quantity }) => quantity && unit === '');
    if (unknown) {
      expect(unknown.unknownUnit).toBe('kp');
      const refused = readStatedCsv(source(text), guess.reading);
      await expect(refused).rejects.toMatchObject({ code: 'csv-header', message: /no unit that is known/ });
    }
    const columns = guess.reading.columns.map((one) => ({ ...one, unit: one.unit || 'N' }));
    const trace = await readStatedCsv(source(text), { ...guess.reading, columns });
    const unit = wanted.columns.find((column) => column.startsWith('position'))!.includes(' in ')
      ? 0.0254
      : 0.001;
    expect(trace.position.position_m[5]).toBeCloseTo(Number(moved[5]!.position_mm.toFixed(3)) * unit, 12);
    expect(trace.position.time_s[5]).toBeCloseTo(0.05, 12);
    expect(trace.force.force_N.length).toBe(moved.length);
  });

  it('leaves to its owner what nothing speaks for', () => {
    const text = `time_s,a,b,c\n${rowsOf(',', (row) => [...plain(row), 1])}\n`;
    expect(shortly(guessCsv(source(text))).columns).toEqual(['time s named', 'none', 'none', 'none']);
  });

  it('says which number shows the decimal mark', () => {
    const text = `time_s;displacement_mm;force_N\n${rowsOf(';', plain, ',')}\n`;
    expect(guessCsv(source(text)).decimalExample).toBe('0,000');
  });

  it.each([
    ['nothing', '', 'csv-empty'],
    ['a letter', 'Dear Sir,\nthe shock is fine.\n', 'csv-row'],
    ['a picture', '\x89PNG\r\n\x1a\n\0\0\0', 'csv-encoding'],
  ])('is refused for %s', (_what, text, code) => {
    expect(() => guessCsv(source(text))).toThrow(expect.objectContaining({ code }) as Error);
  });
});

describe('a file read as stated', () => {
  const text = `Zeit;Weg;Kraft\n${rowsOf(';', plain, ',')}\n`;
  const { reading } = guessCsv(source(text));
  const refusal = async (changed: object, body = text) =>
    readStatedCsv(source(body), { ...reading, ...changed }).then(
      () => null,
      (error: unknown) => (error instanceof DaqError ? { code: error.code, ...error.detail } : error),
    );

  it('is refused with its line and column where a row does not hold', async () => {
    expect(await refusal({}, text.replace('\n0,050;', '\n0,050x;'))).toMatchObject({
      code: 'csv-cell',
      line: 7,
      column: 'Zeit',
      found: "'0,050x'",
    });
    expect(await refusal({ headerLines: 3 }, text.replace('\n0,050;', '\n0,050;7;'))).toMatchObject({
      code: 'csv-row',
      line: 7,
      found: '4 cells',
    });
  });

  it('does not take points for commas', async () => {
    expect(await refusal({ decimalMark: '.' })).toMatchObject({ code: 'csv-cell', line: 2 });
  });

  it.each([
    [{ columns: reading.columns.slice(1) }, /no column for time/],
    [{ columns: [...reading.columns, { ...reading.columns[1]!, cell: 2 }] }, /both as position/],
    [{ columns: reading.columns.map((column) => ({ ...column, unit: 'furlong' })) }, /furlong/],
    [{ columns: reading.columns.map((column) => ({ ...column, cell: 9 })) }, /column 10/],
    [{ delimiter: ',' }, /commas between cells and inside numbers/],
  ])('is refused where the statement cannot be (%#)', async (changed, found) => {
    const refused = (await refusal(changed)) as { code: string; found: string };
    expect(refused.code).toBe('csv-header');
    expect(refused.found).toMatch(found);
  });
});
