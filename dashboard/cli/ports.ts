import type { Command } from 'commander';
import { settingsOf } from './settings.js';
import { table } from './table.js';
import { say, sayNext, writeDocument } from './terminal.js';

export function addPorts(program: Command): void {
  program
    .command('ports')
    .description('Which serial ports a rig may be on')
    .option('--json', 'the ports as one JSON document')
    .action(async (_options: unknown, command: Command) => {
      await ports(settingsOf<{ json?: boolean }>(command));
    });
}

async function ports({ json }: { json?: boolean }): Promise<void> {
  const { listPorts } = await import('../../daq/index.js');
  const found = await listPorts();
  if (json) {
    writeDocument({ ports: found });
    return;
  }
  if (found.length === 0) {
    say(
      'No serial port found. Plug the rig in with a cable that carries data, not only power, wait a few seconds and ask again.',
    );
    sayNext('dashpot-bench demo', 'shows the whole path on the simulated rig meanwhile');
    return;
  }
  say(
    found.length === 1 ? 'One serial port found.' : `${found.length} serial ports found, likely rigs first.`,
  );
  process.stdout.write(
    `\n${table(
      [
        { heading: 'Port', align: 'left', cell: ({ path }) => path },
        { heading: 'What the system says', align: 'left', cell: ({ description }) => description || '–' },
      ],
      found,
    )}\n`,
  );
  sayNext(
    `dashpot-bench record --port ${found[0]!.path} --build NAME`,
    'asks the device who it is, then records; NAME is what you call what is on the rig',
  );
}
