import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { addShelf } from '../../dashboard/cli/shelf.js';
import { ladderCsv } from './ladder-csv.js';
import { oilPlanShape } from './plan-shapes.js';
import { linesOf, runCli } from './run-cli.js';
import { runCommand } from './run-command.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-shelf-'));
const at = (name: string) => join(folder, name);
const logbook = ['--logbook', at('logbook.sqlite')];
const [thin, thick] = [at('thin.csv'), at('thick.csv')];
afterAll(() => rmSync(folder, { recursive: true, force: true }));

beforeAll(() => {
  writeFileSync(thin, ladderCsv({ seed: 1, drag_N: 0.8, damping_Ns_per_m: 22, duration_s: 12 }));
  writeFileSync(thick, ladderCsv({ seed: 2, drag_N: 0.8, damping_Ns_per_m: 22 * 1.2, duration_s: 12 }));
  writeFileSync(
    at('piston.json'),
    JSON.stringify({ bore_mm: 12, rod_mm: 3, holes: 3, hole_mm: 1.2, thickness_mm: 2.5 }),
  );
});

const shelf = async (...args: string[]) => {
  const result = await runCommand(addShelf, ['shelf', ...args, ...logbook]);
  expect(result).toMatchObject({ status: 0, stderr: '' });
  return result.stdout;
};
const json = async (...args: string[]) =>
  JSON.parse(await shelf(...args, '--json')) as Record<string, unknown>;

describe('shelf', () => {
  it('is empty at first, and looking does not make a logbook', async () => {
    const nothing = { oils: [], pistons: [], drills_mm: [], seals: [], springs: [] };
    expect(await json('list')).toEqual(nothing);
    expect(await shelf('list')).toMatch(/^There is nothing on the shelf\./);
    expect(existsSync(logbook[1]!)).toBe(false);
  });

  it('takes parts of every kind, in their own units, and reads as a shelf file', async () => {
    expect(await shelf('add', 'oil', '25 wt', '--cst', '300')).toMatch(/^On the shelf: oil '25 wt'\./);
    await shelf('add', 'oil', 'fork oil', '--mineral', '--at', '32@40', '5,4@100');
    await shelf('add', 'piston', 'stock', '--file', at('piston.json'));
    await shelf('add', 'seal', 'blue');
    await shelf('add', 'spring', 'soft', '--rate', '1.1lbf/in');
    await shelf('add', 'drill', '1,55');
    expect(await json('list')).toEqual({
      oils: [
        { name: '25 wt', oil_cSt: 300 },
        {
          name: 'fork oil',
          family: 'mineral',
          viscosities: [
            { cSt: 32, degC: 40 },
            { cSt: 5.4, degC: 100 },
          ],
        },
      ],
      pistons: [{ name: 'stock', bore_mm: 12, rod_mm: 3, holes: 3, hole_mm: 1.2, thickness_mm: 2.5 }],
      drills_mm: [1.55],
      seals: [{ name: 'blue' }],
      // 1.1 lbf/in: 1 lbf/in is 0.175126835 N/mm (NIST SP 811, from lbf and inch).
      springs: [{ name: 'soft', rate_N_per_mm: expect.closeTo(0.1926395, 6) }],
    });
    const listed = await shelf('list');
    expect(listed).toMatch(/^Six items on the shelf\.\n\nKind +Name +What it is\n/);
    expect(listed).toContain('300 cSt at 25 °C');
  });

  it('puts what is removed into a bin, and takes it out again', async () => {
    await shelf('remove', 'seal', 'blue');
    expect((await json('list')).seals).toEqual([]);
    expect(await json('list', '--bin')).toMatchObject([{ kind: 'seal', name: 'blue', binned: true }]);
    await shelf('restore', 'seal', 'blue');
    expect((await json('list')).seals).toEqual([{ name: 'blue' }]);
    await shelf('remove', 'drill', '1.55');
    await shelf('restore', 'drill', '1.55 mm');
    expect((await json('list')).drills_mm).toEqual([1.55]);
  });

  it('measures an oil against another in one piston, and plan-oil uses it from the logbook', async () => {
    const measuring = [
      'shelf',
      'add',
      'oil',
      'no label',
      '--against',
      '25 wt',
      '--have',
      thin,
      '--with',
      thick,
    ];
    expect(await runCli([...measuring, ...logbook])).toMatchObject({ status: 0, stderr: '' });
    const { oils } = (await json('list')) as { oils: { name: string; measured?: { ratio: number } }[] };
    const { measured } = oils.find(({ name }) => name === 'no label')!;
    expect(measured).toMatchObject({ against: '25 wt', ratio: expect.closeTo(1.2, 1) });
    const args = ['plan-oil', '--have', thin, '--want', thick, '--oil', '25 wt', ...logbook, '--json'];
    const plan = oilPlanShape.parse(JSON.parse((await runCli(args)).stdout));
    expect(plan.advice).toBe('shelf-oil');
    expect(plan.shelf[0]).toMatchObject({ label: 'no label', basis: 'measured' });
    const { low95, high95 } = plan.shelf[0]!.viscosityOverWanted!;
    // The bottle is known to some 10 %; against it the measured oil is known far better.
    expect(high95 - low95).toBeLessThan(0.06);
  });

  it.each([
    [['add', 'oil', '30 wt'], /without a viscosity.*a weight is a label/],
    [['add', 'grease', 'red'], /'grease'; wanted one of oil, piston/],
    [['add', 'seal', 'red', '--cst', '100'], /--cst for a seal/],
    [['add', 'spring', 'x', '--rate', '1.1'], /--rate 1\.1; wanted a rate with its unit/],
    [['add', 'drill', 'thin'], /drill thin; wanted a diameter/],
    [['add', 'piston', 'x'], /a piston without --file/],
    [['add', 'oil', 'x', '--mineral', '--cst', '32'], /two above 2 cSt/],
    [['add', 'oil', 'x', '--against', 'gone', '--ratio', '1.1', '--error', '0.01'], /'gone'; wanted an oil/],
    [['add', 'oil', 'x', '--ratio', '1.1'], /--ratio without --against/],
    [['remove', 'oil', 'gone'], /oil 'gone': found no such item/],
    [['restore', 'oil', '25 wt'], /it is on the shelf; wanted an item in the bin/],
  ])('refuses %j in one line, and nothing changes', async (args, says) => {
    const before = await json('list');
    const { status, stdout, stderr } = await runCommand(addShelf, ['shelf', ...args, ...logbook]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
    expect(await json('list')).toEqual(before);
  });

  it('does not make a logbook to remove something from', async () => {
    const { status } = await runCommand(addShelf, [
      'shelf',
      'remove',
      'oil',
      'x',
      '--logbook',
      at('none.sqlite'),
    ]);
    expect(status).toBe(2);
    expect(existsSync(at('none.sqlite'))).toBe(false);
  });
});
