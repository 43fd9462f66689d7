import type { Command } from 'commander';
import { anyNumber, numberList, positiveNumber, wholeNumber } from './number-options.js';
import { settingsOf } from './settings.js';

export function addCalibrate(program: Command): void {
  const calibrate = program
    .command('calibrate')
    .description(
      "What a rig's counts are in N and mm, with uncertainty; how late its force comes; what moves",
    )
    .addHelpText(
      'after',
      `
Each result is a new version; recordings keep the calibration they were made
under, and \`analyze --calibration latest\` applies the newest to old ones.
--port simulated-rig practises on the simulated rig.`,
    );
  addForce(calibrate);
  addPosition(calibrate);
  addAngle(calibrate);
  addMotion(calibrate, 'lag', 'How late the force comes, from a dry spring moved at several speeds');
  addMotion(calibrate, 'mass', 'What moves between cell and shock, from a run with nothing mounted');
  entryOptions(
    calibrate.command('show').description('The calibrations of a rig and what they were found from'),
  ).action(async (_options: unknown, command: Command) => {
    await (await import('./calibrate-show.js')).showCalibrations(settingsOf(command));
  });
}

function addForce(calibrate: Command): void {
  const command = calibrate
    .command('force')
    .description('Force from known masses: nothing, up through all, down again, three times')
    .addHelpText(
      'after',
      `
LOADS is a CSV of mass_g (or force_N), with reading_counts where they were read
already, and optionally run_number and temperature_degC. Each run begins at 0.

Example: dashpot-bench calibrate force --port /dev/ttyACM0 --masses 100,200,500,800,1000 --latitude 52
         dashpot-bench calibrate force --loads loads.csv --rig bench --gravity 9.8126`,
    )
    .option('--masses <grams>', 'masses to hang, increasing, holder included', numberList('--masses'))
    .option('--loads <file>', 'masses from a file, or readings taken already')
    .option('--runs <number>', 'times up and down (otherwise 3)', wholeNumber('--runs'))
    .option('--gravity <m/s²>', 'local free fall', positiveNumber('--gravity'))
    .option('--latitude <degrees>', 'instead of --gravity: geographic latitude', anyNumber('--latitude'))
    .option('--height <metres>', 'with --latitude: height above sea level', anyNumber('--height'))
    .option(
      '--mass-uncertainty <percent>',
      'standard uncertainty of the masses (otherwise 0.1)',
      positiveNumber('--mass-uncertainty'),
    )
    .option('--pull', 'the masses pull where a shock in compression pushes')
    .option(
      '--capacity <newtons>',
      "the cell's rated load (otherwise as set up)",
      positiveNumber('--capacity'),
    );
  rigOptions(command).action(async (_options: unknown, self: Command) => {
    await (await import('./calibrate-force.js')).calibrateForceAtRig(settingsOf(self));
  });
}

function addPosition(calibrate: Command): void {
  const command = calibrate
    .command('position')
    .description('Position from known lengths, counted from full extension')
    .addHelpText(
      'after',
      `
FILE is a CSV of length_mm, with reading_counts where they were read already.

Example: dashpot-bench calibrate position --port /dev/ttyACM0 --lengths 5,10,15,20`,
    )
    .option('--lengths <mm>', 'lengths to set, increasing', numberList('--lengths'))
    .option('--readings <file>', 'lengths from a file, or readings taken already')
    .option('--runs <number>', 'times in and out (otherwise 2)', wholeNumber('--runs'))
    .option(
      '--length-uncertainty <mm>',
      'standard uncertainty of a length (otherwise 0.02)',
      positiveNumber('--length-uncertainty'),
    );
  rigOptions(command).action(async (_options: unknown, self: Command) => {
    await (await import('./calibrate-position.js')).calibratePositionAtRig(settingsOf(self));
  });
}

function addAngle(calibrate: Command): void {
  const command = calibrate
    .command('angle')
    .description('Position from a sensor on the crank, by the geometry of crank and rod')
    .addHelpText(
      'after',
      `
FILE is a CSV of length_mm and reading_counts: where the slide stood at each.

Example: dashpot-bench calibrate angle --readings crank.csv --rig bench --radius 12 --rod 60 --counts-per-turn 4096`,
    )
    .requiredOption(
      '--radius <mm>',
      'half the stroke, roughly; it is found exactly',
      positiveNumber('--radius'),
    )
    .requiredOption('--rod <mm>', 'length of the rod between its pins', positiveNumber('--rod'))
    .requiredOption(
      '--counts-per-turn <number>',
      'counts of a whole turn; negative where they fall',
      anyNumber('--counts-per-turn'),
    )
    .option('--positions <number>', 'positions to measure (otherwise 9)', wholeNumber('--positions'))
    .option('--readings <file>', 'positions and readings taken already');
  rigOptions(command).action(async (_options: unknown, self: Command) => {
    await (await import('./calibrate-position.js')).calibrateAngleAtRig(settingsOf(self));
  });
}

function addMotion(calibrate: Command, what: 'lag' | 'mass', description: string): void {
  const command = calibrate
    .command(what)
    .description(description)
    .argument('[recording]', 'recording:ID that was made for it; otherwise one is made now')
    .addHelpText('after', `\nExample: dashpot-bench calibrate ${what} --port /dev/ttyACM0`);
  rigOptions(command).action(async (recording: string | undefined, _options: unknown, self: Command) => {
    await (await import('./calibrate-motion.js')).calibrateMotion(what, recording, settingsOf(self));
  });
}

/** Options of a procedure that may be led at the rig. */
export function rigOptions(command: Command): Command {
  return entryOptions(
    command
      .option('--port <path>', 'the serial port the rig is on, or simulated-rig')
      .option('--baud <number>', 'baud rate (otherwise 250000)', wholeNumber('--baud')),
  )
    .option('--note <text>', 'what to remember about it')
    .option('--dry-run', 'enter nothing');
}

function entryOptions(command: Command): Command {
  return command
    .option('--rig <name>', 'the rig that readings from a file belong to (otherwise the only one)')
    .option('--json', 'everything that was found as one JSON document');
}
