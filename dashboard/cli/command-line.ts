import { homedir } from 'node:os';
import { Command } from 'commander';
import { addAnalyze } from './analyze.js';
import { addBackup, addRestore } from './backup.js';
import { addCalibrate } from './calibrate.js';
import { addCheck } from './check.js';
import { addCompare } from './compare.js';
import { addCorner } from './corner.js';
import { addDemo } from './demo.js';
import { addDoctor } from './doctor.js';
import { addExport } from './export.js';
import { addImport } from './import.js';
import { defaultLogbookPath } from './logbook-path.js';
import { addMatch } from './match.js';
import { addPlanHoles } from './plan-holes.js';
import { addPlanOil } from './plan-oil.js';
import { addPorts } from './ports.js';
import { addRecord } from './record.js';
import { addResolves } from './resolves.js';
import { addRigCheck } from './rig-check.js';
import { addSetup } from './setup.js';
import { addShelf } from './shelf.js';
import { addSpring } from './spring.js';
import { addStart } from './start.js';
import { addSummary } from './summary.js';
import { addTravel } from './travel.js';
import { version } from './version.js';

/** Builds the command line; each command loads what it needs only when it runs. */
export function commandLine(): Command {
  const program = new Command('dashpot-bench')
    .description(
      'Measures small oil-filled shocks on a home-built rig: seal drag, breakaway and damping, with intervals.',
    )
    .version(version(), '--version', 'print the version')
    .helpOption('-h, --help', 'show help')
    .option(
      '--logbook <path>',
      'the logbook file',
      defaultLogbookPath(process.platform, process.env, homedir()),
    )
    .option('--debug', 'show where in the program an error arose')
    .configureHelp({ showGlobalOptions: true, helpWidth: helpWidth() })
    .configureOutput({ outputError: (text, write) => write(usageLine(text)) })
    .addHelpText('afterAll', closing)
    .exitOverride();
  for (const add of [
    addDemo,
    addStart,
    addPorts,
    addSetup,
    addCalibrate,
    addCheck,
    addRecord,
    addRigCheck,
    addImport,
    addAnalyze,
    addCompare,
    addMatch,
    addPlanOil,
    addPlanHoles,
    addSpring,
    addTravel,
    addCorner,
    addResolves,
    addShelf,
    addSummary,
    addExport,
    addBackup,
    addRestore,
    addDoctor,
  ])
    add(program);
  return program;
}

/** Closes the help of the program and of each command. */
function closing({ command }: { command: Command }): string {
  const next = command.parent
    ? ''
    : `
FILE is a CSV file with time, position and force columns, or build:NAME or
recording:ID from the logbook.

Next: dashpot-bench demo
      needs no rig; records two invented builds and compares them`;
  return `
Exit status: 0 done, 1 done and the answer is no, 2 bad input and nothing
written, 3 the rig failed.
${next}`.trimEnd();
}

function helpWidth(): number {
  return Math.max(80, Math.min(process.stdout.columns ?? 80, 110));
}

/** A usage error as one line: "unknown option '--jsn' (Did you mean --json?)". */
function usageLine(text: string): string {
  return `${text
    .replace(/^error: /, '')
    .trim()
    .replace(/\s*\n\s*/g, ' ')}\n`;
}
