import { basename } from 'node:path';
import type { Command } from 'commander';
import type { SideNames } from '../wording/index.js';
import { settingsOf } from './settings.js';
import { parseArgument } from './source.js';
import { sayNext, writeDocument } from './terminal.js';

interface CompareOptions {
  readonly before: string[];
  readonly after: string[];
  readonly json?: boolean;
  readonly logbook: string;
}

export function addCompare(program: Command): void {
  program
    .command('compare')
    .description('Whether two builds differ, by how much, and what these remounts could have seen')
    .addHelpText(
      'after',
      `\nExample: dashpot-bench compare --before old-1.csv old-2.csv old-3.csv --after new-1.csv new-2.csv new-3.csv`,
    )
    .requiredOption('--before <file...>', 'recordings of the first build; several are remounts')
    .requiredOption('--after <file...>', 'recordings of the second build')
    .option('--json', 'the differences as one JSON document')
    .action(async (_options: unknown, command: Command) => {
      await compare(settingsOf<CompareOptions>(command));
    });
}

async function compare(options: CompareOptions): Promise<void> {
  const [{ compareBuilds }, { analyzeAll }] = await Promise.all([
    import('../../analysis/index.js'),
    import('./analyze-all.js'),
  ]);
  const [before, after] = await analyzeAll([options.before, options.after], options.logbook);
  const comparison = compareBuilds(before!, after!);
  if (options.json) {
    writeDocument({ before: options.before, after: options.after, ...comparison });
    return;
  }
  const [{ comparisonReport }, { warningsReport }] = await Promise.all([
    import('./comparison-report.js'),
    import('./warnings-report.js'),
  ]);
  process.stdout.write(comparisonReport(comparison, namesOf(options)));
  process.stdout.write(warningsReport([...before!, ...after!]));
  sayNext('dashpot-bench start', 'shows the builds over each other in the browser');
}

/** Names for the sentences: the builds' own where one build is named a side, else a file's where there is one. */
function namesOf({ before, after }: CompareOptions): { names?: SideNames } {
  const [first, second] = [nameOf(before), nameOf(after)];
  return first !== null && second !== null && first !== second
    ? { names: { before: first, after: second } }
    : {};
}

function nameOf([only, ...more]: readonly string[]): string | null {
  if (only === undefined || more.length > 0) return null;
  const argument = parseArgument(only);
  if (argument.kind === 'build') return argument.name;
  return argument.kind === 'recording' ? only : basename(argument.path, '.csv');
}
