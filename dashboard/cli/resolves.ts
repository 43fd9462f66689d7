import type { Command } from 'commander';
import type { NamedBuild } from '../answers/index.js';
import { statedSpread } from './compare.js';
import { nameOfFile } from './named-groups.js';
import { positiveNumber, wholeNumber } from './number-options.js';
import { percentage } from './quantity-options.js';
import { settingsOf } from './settings.js';
import { sayNext, writeDocument } from './terminal.js';

interface ResolvesOptions {
  readonly remountSpread?: number;
  readonly dragN: number;
  readonly dampingN: number;
  readonly comparisons: number;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addResolves(program: Command): void {
  program
    .command('resolves')
    .description('Is my rig good enough? The smallest differences that it can tell from nothing')
    .addHelpText(
      'after',
      `
Give two or three recordings of one unchanged build, the shock taken off between them. Without any, all builds of the
logbook with several remounts speak for the rig; without those, a spread that you state or that is assumed.

Examples: dashpot-bench resolves same-1.csv same-2.csv same-3.csv
          dashpot-bench resolves --remount-spread 3% --drag-n 0.4 --damping-n 5`,
    )
    .argument('[file...]', 'remounts of one build: CSV files, build:NAME or recording:ID')
    .option(
      '--remount-spread <percent>',
      'spread between remounts, where it is known',
      percentage('--remount-spread'),
    )
    .option('--drag-n <number>', 'drag of the shock in question', positiveNumber('--drag-n'), 0.5)
    .option(
      '--damping-n <number>',
      'its damping force at a speed that matters',
      positiveNumber('--damping-n'),
      5,
    )
    .option('--comparisons <number>', 'differences to be looked at together', wholeNumber('--comparisons'), 1)
    .option('--json', 'the answer as one JSON document')
    .action(async (files: string[], _options: unknown, command: Command) => {
      await resolves(files, settingsOf<ResolvesOptions>(command));
    });
}

async function resolves(files: readonly string[], options: ResolvesOptions): Promise<void> {
  const [{ resolvesAnswer }, { resolvesSentences }] = await Promise.all([
    import('../answers/index.js'),
    import('../wording/index.js'),
  ]);
  const answer = resolvesAnswer({
    builds: await buildsOf(files, options.logbook),
    ...(options.remountSpread ? { known: statedSpread(options.remountSpread) } : {}),
    expected: { drag_N: options.dragN, damping_N: options.dampingN },
    comparisons: options.comparisons,
  });
  const sentences = resolvesSentences(answer);
  if (options.json) {
    writeDocument({ files, ...answer, sentences });
    return;
  }
  const { resolvesReport } = await import('./resolves-report.js');
  process.stdout.write(resolvesReport(answer, sentences));
  sayNext(
    'dashpot-bench compare --before FILE... --after FILE...',
    'holds two builds against each other with what these remounts can see',
  );
}

/** The build of the files, or all builds of the logbook that have several remounts. */
async function buildsOf(files: readonly string[], logbook: string): Promise<NamedBuild[]> {
  const { analyzeAll } = await import('./analyze-all.js');
  if (files.length > 0) {
    const [analyses] = await analyzeAll([files], logbook);
    return [{ name: nameOfFile(files[0]!), analyses: analyses! }];
  }
  const { remountedBuilds } = await import('./remounted-builds.js');
  const names = remountedBuilds(logbook);
  const analysed = await analyzeAll(
    names.map((name) => [`build:${name}`]),
    logbook,
  );
  return names.map((name, i) => ({ name, analyses: analysed[i]! }));
}
