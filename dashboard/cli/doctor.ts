import type { Command } from 'commander';
import { badInput, exitStatus } from './failure.js';
import { settingsOf } from './settings.js';
import { say, sayNext, style, wrap, writeDocument } from './terminal.js';

export function addDoctor(program: Command): void {
  program
    .command('doctor')
    .description('Look at what this program needs: modules, ports, permissions, browser, disk, logbook')
    .addHelpText(
      'after',
      '\nExit status 1 when something does not work. No port is opened, nothing is changed.',
    )
    .option('--bundle <file>', 'write what was found to a file that can be shared when asking for help')
    .option('--json', 'what was found as one JSON document')
    .action(async (_options: unknown, command: Command) => {
      await doctor(settingsOf<{ bundle?: string; json?: boolean }>(command));
    });
}

const marks = { good: 'ok', attention: '– ', bad: '✗ ' } as const;

async function doctor(options: { bundle?: string; json?: boolean; logbook: string }): Promise<void> {
  const { bundle, json, logbook } = options;
  const { existsSync } = await import('node:fs');
  if (bundle !== undefined && existsSync(bundle))
    throw badInput('something by that name', 'a new name; nothing is overwritten', bundle);
  const { doctorChecks } = await import('./doctor-checks.js');
  const checks = await doctorChecks(logbook);
  const worst = checks.find(({ state }) => state === 'bad');
  if (worst) process.exitCode = exitStatus.answerIsNo;
  const { LEFT_OUT, writeDoctorBundle } = await import('./doctor-bundle.js');
  if (bundle !== undefined) await writeDoctorBundle(bundle, logbook, checks);
  if (json) {
    writeDocument({ checks, bundle: bundle ?? null });
    return;
  }
  const width = Math.max(...checks.map(({ name }) => name.length));
  for (const { name, state, found, todo } of checks) {
    const words = todo === '' ? found : `${found}. Do: ${todo}`;
    process.stdout.write(
      `${marks[state]} ${style('bold', name.padEnd(width))}  ${wrap(words, 74 - width, '     '.padEnd(width + 5))}\n`,
    );
  }
  if (bundle !== undefined) say('', `${bundle} can be shared. ${LEFT_OUT}`);
  if (worst) sayNext('dashpot-bench doctor', 'again, once what is marked ✗ is done');
  else sayNext('dashpot-bench ports', 'lists the ports that a rig may be on');
}
