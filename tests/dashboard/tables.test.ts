import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Comparison, Estimate } from '../../analysis/index.js';
import {
  comparisonTable,
  MAX_TABLE_ROWS,
  type RecordingRow,
  type SummaryKey,
  summarise,
  type Table,
  tableCsv,
} from '../../dashboard/tables/index.js';

const row = (build: string, friction_N: number | null, labels: Partial<RecordingRow> = {}): RecordingRow => ({
  recording: build,
  build,
  oil: null,
  piston: null,
  quantities: { friction_N },
  ...labels,
});

describe('summaries', () => {
  it('give count, mean, spread, least and most of each group, in the order the groups appear', async () => {
    const rows = [row('stock', 1.3), row('low drag', 0.9), row('stock', 1.1), row('stock', 1.2)];
    const summary = await summarise(rows, 'build');
    expect(summary.rows).toHaveLength(2);
    const [stock, lowDrag] = summary.rows;
    expect(stock).toMatchObject({ group: 'stock', quantity: 'friction_N', n: 3, min: 1.1, max: 1.3 });
    expect(stock!.mean).toBeCloseTo(1.2, 14);
    expect(stock!.sd).toBeCloseTo(0.1, 14);
    expect(lowDrag).toMatchObject({ group: 'low drag', n: 1, mean: 0.9 });
  });

  it('say nothing about the spread of a single recording', async () => {
    const summary = await summarise([row('stock', 1.3)], 'build');
    expect(summary.rows[0]!.sd).toBeNull();
  });

  it('leave out recordings that could not support a quantity instead of counting them as zero', async () => {
    const rows = [
      row('stock', 2),
      row('stock', null),
      row('stock', Number.NaN),
      row('stock', 4),
      row('other', null),
    ];
    const summary = await summarise(rows, 'build');
    expect(summary.rows).toEqual([
      { group: 'stock', quantity: 'friction_N', n: 2, mean: 3, sd: Math.SQRT2, min: 2, max: 4 },
    ]);
  });

  it('group by oil and by piston, with recordings that name none as a group of their own', async () => {
    const rows = [
      row('a', 1, { oil: '35', piston: '2 x 1.2' }),
      row('b', 2, { oil: '40', piston: '2 x 1.2' }),
      row('c', 3),
    ];
    expect((await summarise(rows, 'oil')).rows.map(({ group, mean }) => [group, mean])).toEqual([
      ['35', 1],
      ['40', 2],
      [null, 3],
    ]);
    expect((await summarise(rows, 'piston')).rows.map(({ group, n }) => [group, n])).toEqual([
      ['2 x 1.2', 2],
      [null, 1],
    ]);
  });

  it('keep group names apart however they are written', async () => {
    const names = [
      '1-2',
      '1',
      '2',
      '-',
      '',
      '__proto__',
      'constructor',
      'a,b',
      'A',
      'a',
      ' a',
      '1.0',
      '01',
      'ü',
    ];
    const rows = names.map((name, i) => row(name, i));
    const summary = await summarise(rows, 'build');
    expect(summary.rows.map(({ group, mean }) => [group, mean])).toEqual(names.map((name, i) => [name, i]));
  });

  it('keep every digit of a small spread on a large offset', async () => {
    const rows = [1e9 + 0.25, 1e9 + 0.5, 1e9 + 0.75].map((value) => row('stock', value));
    const summary = await summarise(rows, 'build');
    expect(summary.rows[0]).toMatchObject({ mean: 1e9 + 0.5, sd: 0.25 });
  });

  it('agree with sums done by hand for any rows', async () => {
    const anyRow = fc.record({
      recording: fc.string(),
      build: fc.constantFrom('a', 'b-c', 'b', ''),
      oil: fc.constantFrom('30', '35', null),
      piston: fc.constant(null),
      quantities: fc.dictionary(
        fc.constantFrom('friction_N', 'breakaway_N'),
        fc.option(fc.double({ min: -1e6, max: 1e6, noNaN: true })),
      ),
    });
    await fc.assert(
      fc.asyncProperty(
        fc.array(anyRow, { maxLength: 30 }),
        fc.constantFrom('build', 'oil'),
        async (rows, by) => {
          const before = structuredClone(rows);
          const summary = await summarise(rows, by as SummaryKey);
          expect(rows).toEqual(before);
          let counted = 0;
          for (const { group, quantity, n, mean, sd, min, max } of summary.rows) {
            const values = rows
              .filter((candidate) => candidate[by as SummaryKey] === group)
              .map((candidate) => candidate.quantities[quantity])
              .filter((value) => typeof value === 'number');
            counted += values.length;
            const expectedMean = values.reduce((sum, value) => sum + value, 0) / values.length;
            const squares = values.reduce((sum, value) => sum + (value - expectedMean) ** 2, 0);
            expect([n, min, max]).toEqual([values.length, Math.min(...values) + 0, Math.max(...values) + 0]);
            expect(mean).toBeCloseTo(expectedMean, 6);
            if (values.length === 1) expect(sd).toBeNull();
            else expect(sd).toBeCloseTo(Math.sqrt(squares / (values.length - 1)), 6);
          }
          const given = rows
            .flatMap((each) => Object.values(each.quantities))
            .filter((value) => value !== null);
          expect(counted).toBe(given.length);
        },
      ),
      { numRuns: 60, seed: 7 },
    );
  });

  it('are empty for no recordings', async () => {
    expect((await summarise([], 'oil')).rows).toEqual([]);
    expect((await summarise([{ ...row('a', 1), quantities: {} }], 'build')).rows).toEqual([]);
  });

  it('refuse more rows than tables are for, saying how many there were', async () => {
    const rows = Array.from({ length: MAX_TABLE_ROWS + 1 }, () => row('stock', 1));
    await expect(summarise(rows, 'build')).rejects.toMatchObject({
      code: 'too-many-rows',
      message: 'summarise: 10001 rows; wanted at most 10000',
    });
    expect((await summarise(rows.slice(1), 'build')).rows[0]!.n).toBe(MAX_TABLE_ROWS);
  });
});

const estimate = (value: number): Estimate => ({
  value,
  standardError: 0.05,
  low95: value - 0.1,
  high95: value + 0.1,
});

const comparison: Comparison = {
  differences: [
    {
      quantity: 'friction_N',
      before: estimate(1.5),
      after: estimate(1),
      difference: estimate(-0.5),
      verdict: 'lower',
      resolvable: 0.15,
      spread: { standardDeviation: 0.04, degreesOfFreedom: 4, basis: 'remounts' },
    },
    {
      quantity: 'damping.compression@0.10',
      before: estimate(8),
      after: estimate(8.05),
      difference: estimate(0.05),
      verdict: 'not-resolved',
      resolvable: Number.POSITIVE_INFINITY,
      spread: { standardDeviation: 0.04, degreesOfFreedom: 4, basis: 'remounts' },
    },
  ],
  temperature_degC: 23.5,
  remounts: { before: 3, after: 2 },
};

describe('comparison tables', () => {
  it('have a line per pair and quantity with intervals, verdict and what could have been resolved', () => {
    const table = comparisonTable([
      { before: 'stock', after: 'new seal', comparison },
      { before: 'stock', after: 'drilled', comparison },
    ]);
    expect(table.rows).toHaveLength(4);
    expect(table.rows[0]).toEqual({
      before_build: 'stock',
      after_build: 'new seal',
      quantity: 'friction_N',
      before: 1.5,
      before_low95: 1.4,
      before_high95: 1.6,
      after: 1,
      after_low95: 0.9,
      after_high95: 1.1,
      difference: -0.5,
      difference_low95: -0.6,
      difference_high95: -0.4,
      verdict: 'lower',
      resolvable: 0.15,
      before_remounts: 3,
      after_remounts: 2,
      temperature_degC: 23.5,
    });
    expect(table.rows[2]!.after_build).toBe('drilled');
  });
});

describe('CSV', () => {
  const table = (cells: Table['rows'][number][]): Table => ({
    columns: ['build', 'friction_N'],
    rows: cells,
  });

  it('survives commas, quotes and line ends in names', () => {
    const names = ['a,b', 'say "35"', 'two\nlines', ' padded ', 'plain'];
    const csv = tableCsv(table(names.map((build, i) => ({ build, friction_N: i }))));
    const read = parse(csv, { columns: true }) as { build: string }[];
    expect(read.map(({ build }) => build)).toEqual(names);
  });

  it('never hands a spreadsheet a formula, and leaves negative numbers alone', () => {
    const csv = tableCsv(
      table([
        { build: '=1+2', friction_N: -0.42 },
        { build: '@x', friction_N: 1e-7 },
        { build: '-lead', friction_N: null },
      ]),
    );
    expect(csv).toBe("build,friction_N\r\n'=1+2,-0.42\r\n'@x,1e-7\r\n'-lead,\r\n");
  });

  it('leaves the cell empty where a number is not finite', () => {
    const csv = tableCsv(table([{ build: 'a', friction_N: Number.POSITIVE_INFINITY }]));
    expect(csv).toBe('build,friction_N\r\na,\r\n');
  });

  it('of an empty table is its heading line', () => {
    expect(tableCsv(table([]))).toBe('build,friction_N\r\n');
  });

  it('reads back every number of a comparison exactly', () => {
    const compared = comparisonTable([{ before: 'stock', after: 'new seal', comparison }]);
    const read = parse(tableCsv(compared), { columns: true }) as Record<string, string>[];
    compared.rows.forEach((expected, i) => {
      for (const column of compared.columns) {
        const cell = expected[column];
        if (typeof cell !== 'number') expect(read[i]![column]).toBe(cell);
        else if (Number.isFinite(cell)) expect(Number(read[i]![column])).toBe(cell);
        else expect(read[i]![column]).toBe('');
      }
    });
  });
});
