import type { Command } from 'commander';
import { badInput } from './failure.js';
import { anyNumber, positiveNumber } from './number-options.js';
import { settingsOf } from './settings.js';
import { argument, sayNext, writeDocument } from './terminal.js';
import { tolerances } from './tolerance-option.js';

interface PlanOilOptions {
  readonly have: string[];
  readonly want: string;
  readonly wantTemperature?: number;
  readonly restore?: boolean;
  readonly from?: number;
  readonly to?: number;
  readonly tolerance?: string[];
  readonly oil?: string;
  readonly oilCst?: number;
  readonly shelf?: string;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addPlanOil(program: Command): void {
  program
    .command('plan-oil')
    .description('Which oil gives a build a wanted damping, or its former total force after a change of seal')
    .addHelpText(
      'after',
      `
Without --restore damping is brought to the target's, whatever the seals drag. With --restore the total force of a
former build is brought back, as far as oil can stand in for drag, over the speeds from --from to --to.

Examples: dashpot-bench plan-oil --have new-seal.csv --want target.csv --oil-cst 350 --shelf shelf.json
          dashpot-bench plan-oil --restore --have 'build:new seal' --want 'build:old seal' --from 100`,
    )
    .requiredOption('--have <file...>', 'recordings of the build as it is; several are remounts')
    .requiredOption(
      '--want <target>',
      'a recording, build:NAME, a CSV curve (velocity_mm_per_s,force_N) or points:SPEED=FORCE,…',
    )
    .option(
      '--want-temperature <degC>',
      'oil temperature at which a wanted curve holds',
      anyNumber('--want-temperature'),
    )
    .option('--restore', 'bring back the total force of the wanted build, its drag included')
    .option('--from <mm/s>', 'with --restore: slowest shaft speed that matters', positiveNumber('--from'))
    .option('--to <mm/s>', 'with --restore: fastest shaft speed that matters', positiveNumber('--to'))
    .option('--tolerance <tolerance...>', 'how near is near enough, as for match (5%; with --restore 10%)')
    .option('--oil <label>', 'oil of the shelf that is in the build now')
    .option(
      '--oil-cst <number>',
      'its viscosity at 25 °C, where it is not on the shelf',
      positiveNumber('--oil-cst'),
    )
    .option('--shelf <file>', "a shelf file in place of the logbook's shelf")
    .option('--json', 'the plan as one JSON document')
    .action(async (_options: unknown, command: Command) => {
      await planOil(settingsOf<PlanOilOptions>(command));
    });
}

async function planOil(options: PlanOilOptions): Promise<void> {
  const { have, want, restore = false } = options;
  const allowed = tolerances(options.tolerance ?? [restore ? '10%' : '5%']);
  if (!restore && (options.from !== undefined || options.to !== undefined))
    throw badInput('--from or --to without --restore', '--restore beside it');
  const [
    { oilAnswer },
    { analyzeAll },
    { analysedTarget, filesOfTarget, readTarget },
    { namedOil },
    { shelfFrom },
  ] = await Promise.all([
    import('../answers/index.js'),
    import('./analyze-all.js'),
    import('./read-target.js'),
    import('./present-oil.js'),
    import('./read-shelf.js'),
  ]);
  const source = await readTarget(want, '--want', options.wantTemperature);
  const { oils } = await shelfFrom(options.shelf, options.logbook);
  const present = namedOil(options, { label: '--oil', viscosity: '--oil-cst' }, oils, have, options.logbook);
  const [analyses, targets] = await analyzeAll([have, filesOfTarget(source)], options.logbook);
  const outcome = oilAnswer({
    have: analyses!,
    want: analysedTarget(source, targets),
    present,
    shelf: oils,
    tolerances: allowed,
    restore: restore
      ? {
          ...(options.from !== undefined && { from_m_per_s: options.from / 1e3 }),
          ...(options.to !== undefined && { to_m_per_s: options.to / 1e3 }),
        }
      : null,
  });
  if (!outcome.ok) {
    const where = outcome.side === 'have' ? have.join(' ') : want;
    throw badInput(outcome.refusal.found, outcome.refusal.wanted, where);
  }
  const { answer } = outcome;
  const { oilSentences } = await import('../wording/index.js');
  const sentences = oilSentences(answer);
  if (options.json) {
    writeDocument({ have, want, ...answer, tolerances: allowed, sentences });
    return;
  }
  const [{ oilReport }, { warningsReport }] = await Promise.all([
    import('./plan-oil-report.js'),
    import('./warnings-report.js'),
  ]);
  process.stdout.write(oilReport(answer, sentences));
  process.stdout.write(warningsReport(analyses!));
  if (answer.advice === 'drill')
    sayNext(
      `dashpot-bench plan-holes --have ${argument(have[0]!)} --want ${argument(want)} --piston piston.json`,
      'says which drill reaches the target, in small steps',
    );
  else if (oils.length === 0)
    sayNext(
      `dashpot-bench shelf add oil '30 wt' --cst 360`,
      'enters an oil that you have; the label is yours',
    );
  else
    sayNext(
      `dashpot-bench match NEW.csv --target ${argument(want)}${restore ? ' --total' : ''}`,
      'says whether the build with the new oil meets the target',
    );
}
