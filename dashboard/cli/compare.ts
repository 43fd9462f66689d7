import type { Command } from 'commander';
import { badInput } from './failure.js';
import { type NamedGroup, namedGroups, nameOfFile } from './named-groups.js';
import { percentage } from './quantity-options.js';
import { settingsOf } from './settings.js';
import { sayNext, writeDocument } from './terminal.js';

interface CompareOptions {
  readonly before?: string[];
  readonly after?: string[];
  readonly build?: string[];
  readonly pairs?: boolean;
  readonly matters?: number;
  readonly remountSpread?: number;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addCompare(program: Command): void {
  program
    .command('compare')
    .description('Whether builds differ, by how much, and what these remounts could have seen')
    .addHelpText(
      'after',
      `
Several files of one build are remounts: the shock taken off and put on again. Of more than two builds each is compared
with the first, and all differences are judged together.

Examples: dashpot-bench compare --before old-1.csv old-2.csv old-3.csv --after new-1.csv new-2.csv new-3.csv
          dashpot-bench compare --build "old seal" old-*.csv --build "new seal" new-*.csv --build build:other
          dashpot-bench compare --pairs --build fl build:front-left ... (which shocks belong together)`,
    )
    .option('--before <file...>', 'recordings of the first build')
    .option('--after <file...>', 'recordings of the second build')
    .option('--build <name-and-files...>', 'a name and its recordings, or build:NAME; once for each build')
    .option('--pairs', 'which shocks of a set of 2, 4, 6 or 8 to mount left and right')
    .option(
      '--matters <percent>',
      'the difference that matters, for planning remounts (10%)',
      percentage('--matters'),
    )
    .option(
      '--remount-spread <percent>',
      "the rig's usual spread between remounts (otherwise what its logbook has learnt)",
      percentage('--remount-spread'),
    )
    .option('--json', 'the differences as one JSON document')
    .action(async (_options: unknown, command: Command) => {
      await compare(settingsOf<CompareOptions>(command));
    });
}

async function compare(options: CompareOptions): Promise<void> {
  const groups = groupsOf(options);
  const [{ analyzeTogether }, { compareAnswer }] = await Promise.all([
    import('./analyze-all.js'),
    import('../answers/index.js'),
  ]);
  const analysed = await analyzeTogether(
    groups.map(({ files }) => files),
    options.logbook,
  );
  const builds = groups.map(({ name }, i) => ({ name, analyses: analysed.analyses[i]! }));
  const known = options.remountSpread ? statedSpread(options.remountSpread) : analysed.known;
  if (options.pairs) {
    const { showPairs } = await import('./compare-pairs.js');
    return showPairs(builds, known, options.json ?? false);
  }
  const answer = compareAnswer({
    builds,
    known,
    ...(options.matters ? { matters_percent: options.matters } : {}),
  });
  if (options.json) {
    const [only] = answer.comparisons;
    const sides = options.build ? { builds: groups } : { before: options.before, after: options.after };
    writeDocument({ ...sides, ...(answer.comparisons.length === 1 ? { ...answer, ...only } : answer) });
    return;
  }
  const [{ buildsReport }, { warningsReport }] = await Promise.all([
    import('./comparison-report.js'),
    import('./warnings-report.js'),
  ]);
  process.stdout.write(buildsReport(answer));
  process.stdout.write(warningsReport(analysed.analyses.flat()));
  sayNext('dashpot-bench start', 'shows the builds over each other in the browser');
}

/** The builds to compare, by either way of naming them. */
function groupsOf({ before, after, build }: CompareOptions): NamedGroup[] {
  if (build && (before || after))
    throw badInput('--build together with --before or --after', 'one way of naming the builds');
  if (build) {
    const groups = namedGroups(process.argv, '--build');
    if (groups.length < 2) throw badInput('one --build', 'at least two builds to compare');
    return groups;
  }
  if (!before || !after)
    throw badInput(
      before || after ? `no ${before ? '--after' : '--before'}` : 'no builds',
      '--before FILE... --after FILE..., or --build NAME FILE... for each build',
    );
  const names = [before, after].map((files) => (files.length === 1 ? nameOfFile(files[0]!) : null));
  const named = names[0] !== null && names[1] !== null && names[0] !== names[1];
  return [
    { name: named ? names[0]! : 'the before build', files: before },
    { name: named ? names[1]! : 'the after build', files: after },
  ];
}

/** A stated spread counts as known from some twenty remounts: within a sixth. Judgement, no source. */
const statedFreedom = 20;

export const statedSpread = (percent: number) => ({
  relative: percent / 100,
  degreesOfFreedom: statedFreedom,
});
