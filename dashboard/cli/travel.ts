import type { Command } from 'commander';
import { badInput } from './failure.js';
import { positiveNumber } from './number-options.js';
import { zeroOrMore } from './quantity-options.js';
import { settingsOf } from './settings.js';
import { sayNext, writeDocument } from './terminal.js';

interface TravelOptions {
  readonly standingMm?: number;
  readonly underPistonMm?: number;
  readonly outsideMm?: number;
  readonly insideMm?: number;
  readonly pistonMm?: number;
  readonly nutMm?: number;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addTravel(program: Command): void {
  program
    .command('travel')
    .description('Usable travel of a shock, where its stop touches, what spacers leave of it')
    .addHelpText(
      'after',
      `
Stroke the shock slowly from end to end, by hand where there is a stop: a motor that runs on into one bends the crank
or ruins the cell.

Examples: dashpot-bench travel sweep.csv
          dashpot-bench travel sweep.csv --standing-mm 9 --under-piston-mm 3
          dashpot-bench travel sweep.csv --inside-mm 31 --piston-mm 2.5 --nut-mm 3`,
    )
    .argument('<file>', 'a CSV file, build:NAME or recording:ID of the sweep')
    .option(
      '--standing-mm <number>',
      'compression from full extension where the vehicle stands',
      zeroOrMore('--standing-mm'),
    )
    .option(
      '--under-piston-mm <number>',
      'spacers on the shaft under the piston',
      zeroOrMore('--under-piston-mm'),
    )
    .option('--outside-mm <number>', 'spacers on the shaft outside the body', zeroOrMore('--outside-mm'))
    .option(
      '--inside-mm <number>',
      "length inside the body, from the seal's seat to what ends the piston's way",
      positiveNumber('--inside-mm'),
    )
    .option('--piston-mm <number>', 'thickness of the piston', positiveNumber('--piston-mm'))
    .option('--nut-mm <number>', 'nut or screw above the piston (0)', zeroOrMore('--nut-mm'))
    .option('--json', 'the answer as one JSON document')
    .action(async (file: string, _options: unknown, command: Command) => {
      await travel(file, settingsOf<TravelOptions>(command));
    });
}

async function travel(file: string, options: TravelOptions): Promise<void> {
  const [spacers, inside] = [spacersOf(options), insideOf(options)];
  const [{ travelAnswer }, { oneRecording }] = await Promise.all([
    import('../answers/index.js'),
    import('./one-recording.js'),
  ]);
  const { label, trace } = await oneRecording(file, options.logbook);
  const outcome = travelAnswer({
    sweep: trace,
    ...(spacers ? { spacers } : {}),
    ...(inside ? { inside } : {}),
  });
  if (!outcome.ok) {
    const where = outcome.about === 'sweep' ? label : '--standing-mm, --under-piston-mm, --outside-mm';
    throw badInput(outcome.refusal.found, outcome.refusal.wanted, where);
  }
  const { answer } = outcome;
  const { travelSentences } = await import('../wording/index.js');
  const sentences = travelSentences(answer);
  if (options.json) {
    writeDocument({ file: label, ...answer, sentences });
    return;
  }
  const { travelReport } = await import('./travel-report.js');
  process.stdout.write(travelReport(answer, sentences));
  if (answer.contact)
    sayNext(
      `dashpot-bench corner SHOCK --mass 500 --spring '0.2 N/mm' --travel-mm ${answer.travel_mm.value.toFixed(1)}`,
      'says how much of this travel a corner uses when it stands and when it lands',
    );
  else
    sayNext(
      'dashpot-bench record --port PORT --build NAME --procedure travel-sweep',
      'records slow strokes from end to end, gently into the stop',
    );
}

function spacersOf({ standingMm, underPistonMm, outsideMm }: TravelOptions) {
  if (standingMm === undefined && underPistonMm === undefined && outsideMm === undefined) return null;
  if (standingMm === undefined)
    throw badInput('spacers without --standing-mm', 'the compression at which the vehicle stands, in mm');
  return {
    standing_m: standingMm / 1e3,
    underPiston_m: (underPistonMm ?? 0) / 1e3,
    outside_m: (outsideMm ?? 0) / 1e3,
  };
}

function insideOf({ insideMm, pistonMm, nutMm, underPistonMm }: TravelOptions) {
  if (insideMm === undefined && pistonMm === undefined && nutMm === undefined) return null;
  if (insideMm === undefined || pistonMm === undefined)
    throw badInput('lengths inside the body in part', '--inside-mm and --piston-mm together');
  return {
    inside_m: insideMm / 1e3,
    pistonThickness_m: pistonMm / 1e3,
    nut_m: (nutMm ?? 0) / 1e3,
    underPiston_m: (underPistonMm ?? 0) / 1e3,
  };
}
