import type { Command } from 'commander';
import type { DrillSet, HoleChange } from '../../analysis/index.js';
import { badInput } from './failure.js';
import { anyNumber, positiveNumber, wholeNumber } from './number-options.js';
import { settingsOf } from './settings.js';
import { argument, sayNext, writeDocument } from './terminal.js';
import { tolerances } from './tolerance-option.js';

interface PlanHolesOptions {
  readonly have: string[];
  readonly want: string;
  readonly wantTemperature?: number;
  readonly piston: string;
  readonly add?: number;
  readonly some?: number;
  readonly drills?: string;
  readonly oil?: string;
  readonly oilCst?: number;
  readonly newOil?: string;
  readonly newOilCst?: number;
  readonly tolerance?: string[];
  readonly shelf?: string;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addPlanHoles(program: Command): void {
  program
    .command('plan-holes')
    .description('Which hole, and which drill first, gives a piston a wanted damping')
    .addHelpText(
      'after',
      `
The piston is a JSON file with bore_mm, rod_mm, holes, hole_mm, thickness_mm, and where known gap_mm,
countersunk_mm, more_holes, oil_cSt (at 25 °C, as printed) and oil_density_kg_per_m3; or shelf:NAME.

Example: dashpot-bench plan-holes --have stock.csv --want target.csv --piston piston.json --shelf shelf.json

Clamp small parts to drill them, never in the hand; wear eye protection.`,
    )
    .requiredOption('--have <file...>', 'recordings with the piston as it is; several are remounts')
    .requiredOption(
      '--want <target>',
      'a recording, build:NAME, a CSV curve (velocity_mm_per_s,force_N) or points:SPEED=FORCE,…',
    )
    .option(
      '--want-temperature <degC>',
      'oil temperature at which a wanted curve holds',
      anyNumber('--want-temperature'),
    )
    .requiredOption('--piston <file>', 'the piston of the recordings: a JSON file, or shelf:NAME')
    .option('--add <count>', 'drill that many further holes instead', wholeNumber('--add'))
    .option('--some <count>', 'drill that many of the smallest holes only', wholeNumber('--some'))
    .option('--drills <sets>', 'number, metric or number,metric', 'number,metric')
    .option('--oil <label>', 'oil of the shelf that was in the recordings')
    .option(
      '--oil-cst <number>',
      'its viscosity at 25 °C, where it is not on the shelf',
      positiveNumber('--oil-cst'),
    )
    .option('--new-oil <label>', 'oil of the shelf to be used with the new holes (the present one)')
    .option('--new-oil-cst <number>', 'its viscosity at 25 °C', positiveNumber('--new-oil-cst'))
    .option('--tolerance <tolerance...>', 'how near is near enough, as for match (5%)')
    .option('--shelf <file>', "a shelf file in place of the logbook's shelf: oils and drills")
    .option('--json', 'the plan as one JSON document')
    .action(async (_options: unknown, command: Command) => {
      await planHoles(settingsOf<PlanHolesOptions>(command));
    });
}

async function planHoles(options: PlanHolesOptions): Promise<void> {
  const { have, want, logbook } = options;
  const allowed = tolerances(options.tolerance ?? ['5%']);
  const change = changeOf(options);
  const sets = setsOf(options.drills ?? 'number,metric');
  const [
    { holeAnswer },
    { analyzeAll },
    { analysedTarget, filesOfTarget, readTarget },
    { namedOil },
    { shelfFrom },
    { pistonFrom },
  ] = await Promise.all([
    import('../answers/index.js'),
    import('./analyze-all.js'),
    import('./read-target.js'),
    import('./present-oil.js'),
    import('./read-shelf.js'),
    import('./read-piston.js'),
  ]);
  const shelf = await shelfFrom(options.shelf, logbook);
  const piston = await pistonFrom(options.piston, shelf.parts, options.shelf ?? logbook);
  const source = await readTarget(want, '--want', options.wantTemperature);
  const { oils } = shelf;
  const named = { label: '--oil', viscosity: '--oil-cst' };
  const asked = piston.oil_cSt === undefined ? have : [];
  const present = namedOil(options, named, oils, asked, logbook);
  const chosen = namedOil(
    {
      ...(options.newOil !== undefined && { oil: options.newOil }),
      ...(options.newOilCst !== undefined && { oilCst: options.newOilCst }),
    },
    { label: '--new-oil', viscosity: '--new-oil-cst' },
    oils,
    [],
    logbook,
  );
  const [analyses, targets] = await analyzeAll([have, filesOfTarget(source)], logbook);
  const outcome = holeAnswer({
    have: analyses!,
    want: analysedTarget(source, targets),
    piston,
    ...(present && { present }),
    chosen,
    change,
    sets,
    ownedDrills_mm: shelf.parts.drills_mm,
    shelf: oils,
    tolerances: allowed,
  });
  if (!outcome.ok) {
    const where = { have: have.join(' '), want, piston: options.piston, both: want }[outcome.side];
    throw badInput(outcome.refusal.found, outcome.refusal.wanted, where);
  }
  const { answer } = outcome;
  const { drillingCaution, holeSentences } = await import('../wording/index.js');
  const sentences = holeSentences(answer);
  if (options.json) {
    writeDocument({ have, want, ...answer, tolerances: allowed, sentences, caution: drillingCaution });
    return;
  }
  const [{ holeReport }, { warningsReport }] = await Promise.all([
    import('./plan-holes-report.js'),
    import('./warnings-report.js'),
  ]);
  process.stdout.write(holeReport(answer, sentences));
  process.stdout.write(warningsReport(analyses!));
  if (answer.advice === 'keep-holes')
    sayNext(
      `dashpot-bench match ${argument(have[0]!)} --target ${argument(want)}`,
      'says how near it is, speed by speed',
    );
  else if (answer.advice === 'drill')
    sayNext(
      `dashpot-bench match DRILLED.csv --target ${argument(want)}`,
      'says whether the drilled piston meets the target',
    );
  else
    sayNext(
      `dashpot-bench plan-oil --have ${argument(have[0]!)} --want ${argument(want)}`,
      'says which oil comes near with the holes as they are',
    );
}

function changeOf({ add, some }: PlanHolesOptions): HoleChange {
  if (add !== undefined && some !== undefined) throw badInput('--add and --some', 'one of them');
  if (add !== undefined) return { kind: 'add', count: add };
  return some === undefined ? { kind: 'all' } : { kind: 'some', count: some };
}

function setsOf(text: string): DrillSet[] {
  return text.split(',').map((name) => {
    const set = name.trim();
    if (set !== 'number' && set !== 'metric')
      throw badInput(`--drills ${text}`, 'number, metric or number,metric');
    return set;
  });
}
