import type { Command } from 'commander';
import type { SpringAnswer } from '../answers/index.js';
import { badInput } from './failure.js';
import { positiveNumber } from './number-options.js';
import { percentage, springRate } from './quantity-options.js';
import { settingsOf } from './settings.js';
import { argument, sayNext, writeDocument } from './terminal.js';

interface SpringOptions {
  readonly bare?: string;
  readonly label?: ReturnType<ReturnType<typeof springRate>>;
  readonly tolerance?: number;
  readonly wireMm?: number;
  readonly coilMm?: number;
  readonly coils?: number;
  readonly shearGpa?: number;
  readonly massFrom?: number;
  readonly massTo?: number;
  readonly shelf?: string;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addSpring(program: Command): void {
  program
    .command('spring')
    .description(
      'Rate and preload of a spring from a slow pull, its label checked, the spring for another mass',
    )
    .addHelpText(
      'after',
      `
Pull slowly there and back, by hand or by the drive, in any number of strokes.
Springs and clips fly: wear eye protection while taking them off and on.

Examples: dashpot-bench spring pull.csv --label '1.6 lbf/in'
          dashpot-bench spring recording:12 --bare recording:11
          dashpot-bench spring pull.csv --mass-from 520 --mass-to 610`,
    )
    .argument('<file>', 'a CSV file, build:NAME or recording:ID of the pull')
    .option('--bare <file>', 'the same shock pulled without its spring, whose gas is taken off')
    .option('--label <rate>', "the rate printed on the spring, such as '1.6 lbf/in'", springRate('--label'))
    .option('--tolerance <percent>', 'how far a rate may be from its label (10%)', percentage('--tolerance'))
    .option(
      '--wire-mm <number>',
      'diameter of the wire, for the rate that wire and coils would make',
      positiveNumber('--wire-mm'),
    )
    .option(
      '--coil-mm <number>',
      'mean diameter of the coils: the outer one less a wire',
      positiveNumber('--coil-mm'),
    )
    .option(
      '--coils <number>',
      'coils that work: all but about two for closed ends',
      positiveNumber('--coils'),
    )
    .option(
      '--shear-gpa <number>',
      'shear modulus of the wire (79.3, spring steel)',
      positiveNumber('--shear-gpa'),
    )
    .option(
      '--mass-from <grams>',
      'sprung mass on the corner that this spring suits',
      positiveNumber('--mass-from'),
    )
    .option('--mass-to <grams>', 'sprung mass to come, as with another pack', positiveNumber('--mass-to'))
    .option('--shelf <file>', "a shelf file in place of the logbook's shelf")
    .option('--json', 'the answer as one JSON document')
    .action(async (file: string, _options: unknown, command: Command) => {
      await spring(file, settingsOf<SpringOptions>(command));
    });
}

async function spring(file: string, options: SpringOptions): Promise<void> {
  const [wire, mass] = [wireOf(options), massOf(options)];
  const [{ springAnswer }, { oneRecording }, { shelfFrom }] = await Promise.all([
    import('../answers/index.js'),
    import('./one-recording.js'),
    import('./read-shelf.js'),
  ]);
  const pull = await oneRecording(file, options.logbook);
  const bare = options.bare === undefined ? null : await oneRecording(options.bare, options.logbook);
  const { parts } = mass ? await shelfFrom(options.shelf, options.logbook) : { parts: { springs: [] } };
  const outcome = springAnswer({
    pull: pull.trace,
    ...(bare ? { bare: bare.trace } : {}),
    ...(options.label
      ? {
          label: {
            printed: options.label.rate,
            unit: options.label.unit,
            ...(options.tolerance ? { tolerance_percent: options.tolerance } : {}),
          },
        }
      : {}),
    ...(wire ? { wire } : {}),
    ...(mass ? { mass } : {}),
    shelf: parts.springs.map(({ name, rate_N_per_mm }) => ({
      label: name,
      rate_N_per_m: 1e3 * rate_N_per_mm,
    })),
  });
  if (!outcome.ok) {
    const where = { pull: pull.label, bare: bare?.label ?? '--bare', wire: '--wire-mm', mass: '--mass-to' };
    throw badInput(outcome.refusal.found, outcome.refusal.wanted, where[outcome.about]);
  }
  const { answer } = outcome;
  const { springSentences } = await import('../wording/index.js');
  const sentences = springSentences(answer);
  if (options.json) {
    writeDocument({ file: pull.label, ...answer, sentences });
    return;
  }
  const { springReport } = await import('./spring-report.js');
  process.stdout.write(springReport(answer, sentences));
  sayNextOf(answer, file);
}

function sayNextOf({ preload_N, rate_N_per_mm }: SpringAnswer, file: string): void {
  if (!preload_N)
    sayNext(
      'dashpot-bench record --port PORT --build NAME --procedure spring-pull',
      'records a pull there and back',
    );
  else
    sayNext(
      `dashpot-bench corner SHOCK --mass 500 --spring ${argument(`${rate_N_per_mm.value.toPrecision(3)} N/mm`)}`,
      `says how a corner rides on the spring of ${argument(file)}, with a shock that was measured`,
    );
}

function wireOf({ wireMm, coilMm, coils, shearGpa }: SpringOptions) {
  const given = [wireMm, coilMm, coils].filter((value) => value !== undefined);
  if (given.length === 0) return null;
  if (given.length < 3) throw badInput('wire and coils in part', '--wire-mm, --coil-mm and --coils together');
  return {
    wire_m: wireMm! / 1e3,
    coil_m: coilMm! / 1e3,
    activeCoils: coils!,
    shearModulus_Pa: (shearGpa ?? 79.3) * 1e9,
  };
}

function massOf({ massFrom, massTo }: SpringOptions) {
  if (massFrom === undefined && massTo === undefined) return null;
  if (massFrom === undefined || massTo === undefined)
    throw badInput('one mass', '--mass-from and --mass-to together, in grams');
  return { before_kg: massFrom / 1e3, after_kg: massTo / 1e3 };
}
