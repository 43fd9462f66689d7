import type { Command } from 'commander';
import { badInput, exitStatus } from './failure.js';
import { anyNumber, positiveNumber } from './number-options.js';
import { settingsOf } from './settings.js';
import { argument, sayNext, writeDocument } from './terminal.js';
import { tolerances } from './tolerance-option.js';

interface MatchOptions {
  readonly target: string;
  readonly targetTemperature?: number;
  readonly tolerance?: string[];
  readonly total?: boolean;
  readonly oil?: string;
  readonly oilCst?: number;
  readonly shelf?: string;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addMatch(program: Command): void {
  program
    .command('match')
    .description(
      'Whether a build meets a target: within, outside or undecided, with the worst speed. ' +
        'Ends with 0 for within, with 1 for outside and for undecided',
    )
    .addHelpText(
      'after',
      `
A tolerance is a share of the target's force, a force, or both, of which the larger counts: 5%, 0.2N, '5%,0.2N'.
Before it may stand a direction and speeds in mm/s: rebound:8%, 100-300:0.3N, compression:200-:10%. Of several that
cover a speed the last one counts.

Examples: dashpot-bench match drilled-1.csv drilled-2.csv drilled-3.csv --target stock.csv --tolerance 5%
          dashpot-bench match build:drilled --target curve.csv --tolerance 5% rebound:8%`,
    )
    .argument('<file...>', 'recordings of the build, build:NAME or recording:ID; several are remounts')
    .requiredOption(
      '--target <target>',
      'a recording, build:NAME, a CSV curve (velocity_mm_per_s,force_N) or points:SPEED=FORCE,…',
    )
    .option(
      '--target-temperature <degC>',
      'oil temperature at which a target curve holds',
      anyNumber('--target-temperature'),
    )
    .option('--tolerance <tolerance...>', 'how far from the target is still good (5%)')
    .option('--total', 'damping and drag together, instead of damping alone')
    .option('--oil <label>', 'oil of the shelf that is in the build, for the correction of temperature')
    .option(
      '--oil-cst <number>',
      'its viscosity at 25 °C, where it is not on the shelf',
      positiveNumber('--oil-cst'),
    )
    .option('--shelf <file>', "a shelf file in place of the logbook's shelf")
    .option('--json', 'the verdict as one JSON document')
    .action(async (files: string[], _options: unknown, command: Command) => {
      await match(files, settingsOf<MatchOptions>(command));
    });
}

async function match(files: readonly string[], options: MatchOptions): Promise<void> {
  const allowed = tolerances(options.tolerance ?? ['5%']);
  const [
    { matchAnswer },
    { analyzeTogether },
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
  const source = await readTarget(options.target, '--target', options.targetTemperature);
  const { oils } = await shelfFrom(options.shelf, options.logbook);
  const oil = namedOil(options, { label: '--oil', viscosity: '--oil-cst' }, oils, files, options.logbook);
  const analysed = await analyzeTogether([files, filesOfTarget(source)], options.logbook);
  const [analyses, targets] = analysed.analyses;
  const outcome = matchAnswer({
    analyses: analyses!,
    target: analysedTarget(source, targets),
    tolerances: allowed,
    kind: options.total ? 'total' : 'damping',
    oil,
    known: analysed.known,
  });
  if (!outcome.ok) {
    const where = { build: files.join(' '), target: options.target, both: options.target }[outcome.side];
    throw badInput(outcome.refusal.found, outcome.refusal.wanted, where);
  }
  const { answer } = outcome;
  if (answer.verdict !== 'within') process.exitCode = exitStatus.answerIsNo;
  const { matchSentences } = await import('../wording/index.js');
  const sentences = matchSentences(answer);
  if (options.json) {
    writeDocument({ files, target: options.target, ...answer, tolerances: allowed, sentences });
    return;
  }
  const [{ matchReport }, { warningsReport }] = await Promise.all([
    import('./match-report.js'),
    import('./warnings-report.js'),
  ]);
  process.stdout.write(matchReport(answer, sentences));
  process.stdout.write(warningsReport(analyses!));
  const [first] = files;
  if (answer.verdict === 'within')
    sayNext('dashpot-bench start', 'shows the build over its target in the browser');
  else if (answer.verdict === 'undecided')
    sayNext(
      'dashpot-bench record --port PORT --build NAME',
      'takes another remount, or faster speeds, of the build',
    );
  else if (answer.worst.deviation_N.value < 0)
    sayNext(
      `dashpot-bench plan-oil --have ${argument(first!)} --want ${argument(options.target)}`,
      'says which oil brings the build to its target',
    );
  else
    sayNext(
      `dashpot-bench plan-holes --have ${argument(first!)} --want ${argument(options.target)} --piston piston.json`,
      'says which drill brings the build to its target, in small steps',
    );
}
