import type { Command } from 'commander';
import type { ShelfItem, ShelfKind } from '../../daq/index.js';
import { badInput } from './failure.js';
import { positiveNumber } from './number-options.js';
import { settingsOf } from './settings.js';
import type { ShelfAddOptions } from './shelf-add.js';
import { say, sayNext, writeDocument } from './terminal.js';

const kinds = ['oil', 'piston', 'seal', 'spring', 'drill'] as const satisfies readonly ShelfKind[];

export function addShelf(program: Command): void {
  const shelf = program
    .command('shelf')
    .description('What you have to build with: oils, pistons, seals, springs, drills')
    .addHelpText(
      'after',
      `
Examples: dashpot-bench shelf add oil '30 wt' --cst 360
          dashpot-bench shelf add oil 'no label' --against '30 wt' --have 30wt.csv --with no-label.csv
          dashpot-bench shelf add drill 1.55
          dashpot-bench shelf add spring soft --rate 1.1lbf/in
          dashpot-bench shelf list`,
    );
  shelf
    .command('add')
    .description('Puts an item on the shelf, or describes one that is there anew')
    .argument('<kind>', `one of ${kinds.join(', ')}`)
    .argument('<name>', 'its name or label; for a drill its diameter in mm')
    .option('--cst <number>', 'oil: viscosity at 25 °C, as printed on the bottle', positiveNumber('--cst'))
    .option('--at <cSt@degC...>', 'mineral oil: two viscosities, such as 32@40 5.4@100')
    .option('--mineral', 'oil: a mineral oil; silicone otherwise')
    .option('--density <kg/m3>', 'oil: density', positiveNumber('--density'))
    .option('--against <label>', 'oil: the oil of the shelf against which it was measured')
    .option('--have <file...>', 'with --against: recordings of a piston in that oil')
    .option('--with <file...>', 'with --against: recordings of the same piston in the new oil')
    .option(
      '--ratio <number>',
      'with --against: the ratio itself, where it is known',
      positiveNumber('--ratio'),
    )
    .option('--error <number>', 'with --ratio: its standard uncertainty', positiveNumber('--error'))
    .option('--file <path>', 'piston: a JSON file that describes it')
    .option('--rate <rate>', 'spring: rate with its unit, such as 0.21N/mm, 1.2lbf/in, 21gf/mm')
    .option('--json', 'the item as one JSON document')
    .action(async (kind: string, name: string, _options: unknown, command: Command) => {
      const { addToShelf } = await import('./shelf-add.js');
      const options = settingsOf<ShelfAddOptions>(command);
      show('On the shelf', await addToShelf(kindOf(kind), name, options), options.json);
    });
  for (const [verb, does, says] of [
    ['remove', 'Takes an item off the shelf into the bin', 'In the bin'],
    ['restore', 'Takes an item out of the bin again', 'On the shelf again'],
  ] as const)
    shelf
      .command(verb)
      .description(does)
      .argument('<kind>', `one of ${kinds.join(', ')}`)
      .argument('<name>', 'its name')
      .option('--json', 'the item as one JSON document')
      .action(async (kind: string, name: string, _options: unknown, command: Command) => {
        const options = settingsOf<{ json?: boolean; logbook: string }>(command);
        show(says, await move(verb, kindOf(kind), name, options.logbook), options.json);
      });
  shelf
    .command('list')
    .description('Lists what there is')
    .option('--bin', 'what was removed')
    .option('--json', 'as a shelf file; with --bin as a list of items')
    .action(async (_options: unknown, command: Command) => {
      await list(settingsOf<{ bin?: boolean; json?: boolean; logbook: string }>(command));
    });
}

async function move(
  verb: 'remove' | 'restore',
  kind: ShelfKind,
  name: string,
  logbookPath: string,
): Promise<ShelfItem> {
  const [{ openLogbook }, { drillName }] = await Promise.all([
    import('../../daq/index.js'),
    import('./shelf-add.js'),
  ]);
  // Read first, so that a wrong path does not become a logbook.
  openLogbook(logbookPath, { readOnly: true }).close();
  const logbook = openLogbook(logbookPath);
  try {
    const full = kind === 'drill' ? drillName(name) : name;
    return verb === 'remove' ? logbook.removeFromShelf(kind, full) : logbook.restoreToShelf(kind, full);
  } finally {
    logbook.close();
  }
}

async function list(options: { bin?: boolean; json?: boolean; logbook: string }): Promise<void> {
  const [{ existsSync }, { openLogbook }] = await Promise.all([
    import('node:fs'),
    import('../../daq/index.js'),
  ]);
  const logbook = existsSync(options.logbook) ? openLogbook(options.logbook, { readOnly: true }) : null;
  try {
    const items = (logbook?.listShelf() ?? []).filter(({ binned }) => binned === (options.bin ?? false));
    if (options.json) {
      const nothing = { oils: [], pistons: [], drills_mm: [], seals: [], springs: [] };
      writeDocument(options.bin ? items : (logbook?.readShelf() ?? nothing));
      return;
    }
    const { shelfReport } = await import('./shelf-report.js');
    process.stdout.write(shelfReport(items, options.bin ?? false));
  } finally {
    logbook?.close();
  }
  if (options.bin) sayNext('dashpot-bench shelf restore KIND NAME', 'takes an item out of the bin again');
  else sayNext('dashpot-bench plan-oil --have FILE --want TARGET', 'says which oil of the shelf to take');
}

function show(says: string, item: ShelfItem, json: boolean | undefined): void {
  if (json) writeDocument(item);
  else {
    say(`${says}: ${item.kind} '${item.name}'.`);
    sayNext('dashpot-bench shelf list', 'shows what there is');
  }
}

function kindOf(text: string): ShelfKind {
  const kind = kinds.find((one) => one === text);
  if (!kind) throw badInput(`'${text}'`, `one of ${kinds.join(', ')}`);
  return kind;
}
