import { type Command, Option } from 'commander';
import { badInput } from './failure.js';
import { settingsOf } from './settings.js';

export function addStart(program: Command): void {
  program
    .command('start')
    .description('Show the logbook in the browser: builds over each other, differences, live recording')
    .addOption(portOption())
    .option('--no-open', 'print the address only')
    .option(
      '--lan',
      'let phones and laptops of your home network look as well, after a code; they can never start a recording',
    )
    .action(async (_options: unknown, command: Command) => {
      await start(settingsOf<StartOptions>(command));
    });
}

interface StartOptions {
  readonly port?: number;
  readonly open: boolean;
  readonly lan?: boolean;
  readonly logbook: string;
}

/** `--port NUMBER` for the dashboard. */
export function portOption(): Option {
  return new Option(
    '--port <number>',
    'port of the dashboard on 127.0.0.1 (default: 4870, or a free one)',
  ).argParser((text: string) => {
    const port = Number(text);
    if (!Number.isInteger(port) || port < 1 || port > 65_535)
      throw badInput(`--port ${text}`, 'a number from 1 to 65535');
    return port;
  });
}

async function start({ logbook: path, port, open, lan }: StartOptions): Promise<void> {
  const [{ openLogbook }, { showDashboard }, { interruption }] = await Promise.all([
    import('../../daq/index.js'),
    import('./show-dashboard.js'),
    import('./interruption.js'),
  ]);
  const logbook = openLogbook(path);
  try {
    await showDashboard(logbook, { port, open, lan }, interruption());
  } finally {
    logbook.close();
  }
}
