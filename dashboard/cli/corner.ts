import type { Command } from 'commander';
import type { CornerParts } from '../answers/index.js';
import { badInput } from './failure.js';
import { nameOfFile } from './named-groups.js';
import { anyNumber, positiveNumber } from './number-options.js';
import { springRate, zeroOrMore } from './quantity-options.js';
import { settingsOf } from './settings.js';
import { sayNext, writeDocument } from './terminal.js';

interface CornerOptions {
  readonly against?: string[];
  readonly mass: string[];
  readonly spring: ReturnType<ReturnType<typeof springRate>>;
  readonly preloadN: number;
  readonly travelMm: number;
  readonly motionRatio: number;
  readonly ratioSlopePerM: number;
  readonly unsprungG: number;
  readonly tyre?: ReturnType<ReturnType<typeof springRate>>;
  readonly dropMm?: number;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addCorner(program: Command): void {
  program
    .command('corner')
    .description("How a vehicle's corner stands, swings and lands with a measured shock")
    .addHelpText(
      'after',
      `
Lengths, rates and forces are those of the shock, masses those of one corner. A motion ratio is shock travel over wheel
travel: 1 for a shock upright on the axle.

Examples: dashpot-bench corner build:stock --mass 520 --spring '0.2 N/mm' --drop-mm 150
          dashpot-bench corner stock-*.csv --mass light=520 heavy=610 --spring '1.1 lbf/in' --motion-ratio 0.7
          dashpot-bench corner stock-*.csv --against drilled-*.csv --mass 520 --spring '0.2 N/mm'`,
    )
    .argument('<file...>', 'recordings of the shock, build:NAME or recording:ID; several are remounts')
    .option('--against <file...>', 'recordings of another build, to see both')
    .requiredOption('--mass <grams...>', 'sprung mass on the corner; several packs as NAME=GRAMS')
    .requiredOption(
      '--spring <rate>',
      "rate of the spring, such as '0.2 N/mm' or '1.1 lbf/in'",
      springRate('--spring'),
    )
    .option('--preload-n <number>', 'force of spring and gas at full extension', zeroOrMore('--preload-n'), 0)
    .option('--travel-mm <number>', 'usable travel of the shock', positiveNumber('--travel-mm'), 25)
    .option('--motion-ratio <number>', 'shock travel over wheel travel', positiveNumber('--motion-ratio'), 1)
    .option(
      '--ratio-slope-per-m <number>',
      'change of the motion ratio per metre of wheel travel',
      anyNumber('--ratio-slope-per-m'),
      0,
    )
    .option(
      '--unsprung-g <number>',
      "mass of wheel and its share of the axle; counts with a tyre's rate",
      zeroOrMore('--unsprung-g'),
      0,
    )
    .option('--tyre <rate>', "rate of the tyre, such as '2.5 N/mm'; rigid unless given", springRate('--tyre'))
    .option('--drop-mm <number>', 'height to land from', zeroOrMore('--drop-mm'))
    .option('--json', 'the answer as one JSON document')
    .action(async (files: string[], _options: unknown, command: Command) => {
      await corner(files, settingsOf<CornerOptions>(command));
    });
}

async function corner(files: readonly string[], options: CornerOptions): Promise<void> {
  const packs = options.mass.map(packOf);
  const [{ toNewtonPerMetre }, { cornerAnswer }, { analyzeAll }] = await Promise.all([
    import('../../analysis/index.js'),
    import('../answers/index.js'),
    import('./analyze-all.js'),
  ]);
  const groups = options.against ? [files, options.against] : [files];
  const analysed = await analyzeAll(groups, options.logbook);
  const names = namesOf(groups);
  const parts: CornerParts = {
    unsprung_kg: options.unsprungG / 1e3,
    motionRatio: options.motionRatio,
    motionRatioSlope_per_m: options.ratioSlopePerM,
    spring_N_per_m: toNewtonPerMetre(options.spring.rate, options.spring.unit),
    preload_N: options.preloadN,
    tyre_N_per_m: options.tyre ? toNewtonPerMetre(options.tyre.rate, options.tyre.unit) : null,
    travel_m: options.travelMm / 1e3,
  };
  const outcome = cornerAnswer({
    builds: analysed.map((analyses, i) => ({ name: names[i]!, analyses })),
    packs,
    parts,
    ...(options.dropMm === undefined ? {} : { drop_m: options.dropMm / 1e3 }),
  });
  if (!outcome.ok)
    throw badInput(outcome.refusal.found, outcome.refusal.wanted, outcome.build ?? 'the corner');
  const { answer } = outcome;
  const { cornerSentences } = await import('../wording/index.js');
  const sentences = cornerSentences(answer);
  if (options.json) {
    writeDocument({ files: groups, ...answer, sentences });
    return;
  }
  const [{ cornerReport }, { warningsReport }] = await Promise.all([
    import('./corner-report.js'),
    import('./warnings-report.js'),
  ]);
  process.stdout.write(cornerReport(answer, sentences));
  process.stdout.write(warningsReport(analysed.flat()));
  sayNext(
    'dashpot-bench travel SWEEP.csv',
    'measures the travel that the shock really has, and where its stop touches',
  );
}

/** `520` or `heavy=610`, in grams. */
function packOf(text: string): { name: string; sprung_kg: number } {
  const at = text.lastIndexOf('=');
  const grams = Number(text.slice(at + 1).replace(',', '.'));
  if (!(grams > 0) || at === 0)
    throw badInput(`--mass ${text}`, 'grams above zero, or a name with them such as heavy=610');
  return { name: at < 0 ? `${text} g` : text.slice(0, at), sprung_kg: grams / 1e3 };
}

/** Names of the builds in sentences, which must differ. */
function namesOf(groups: readonly (readonly string[])[]): string[] {
  const names = groups.map((files) => nameOfFile(files[0]!));
  return new Set(names).size === names.length
    ? names
    : groups.map((_, i) => (i === 0 ? 'this build' : 'the other'));
}
