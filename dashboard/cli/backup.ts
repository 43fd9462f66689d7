import type { Command } from 'commander';
import { settingsOf } from './settings.js';
import { say, sayNext, writeDocument } from './terminal.js';

export function addBackup(program: Command): void {
  program
    .command('backup')
    .description('Copy the logbook, also while something is recorded, and read the copy through')
    .argument('<file>', 'the copy; nothing is overwritten')
    .option('--json', 'what was copied as one JSON document')
    .action(async (file: string, _options: unknown, command: Command) => {
      const { logbook, json } = settingsOf<{ json?: boolean }>(command);
      const { backupLogbook } = await import('../../daq/index.js');
      const { recordings } = await backupLogbook(logbook, file);
      if (json) {
        writeDocument({ backup: file, recordings });
        return;
      }
      say(
        `${file} holds the logbook as it was just now: ${recordings} recordings, all of them read through.`,
      );
      sayNext(`dashpot-bench restore ${file}`, 'puts it back; keep a copy on another disk');
    });
}

export function addRestore(program: Command): void {
  program
    .command('restore')
    .description('Put a backup in the place of the logbook; what was there is moved aside, not deleted')
    .argument('<file>', 'a backup that `backup` made')
    .option('--json', 'what was done as one JSON document')
    .action(async (file: string, _options: unknown, command: Command) => {
      const { logbook, json } = settingsOf<{ json?: boolean }>(command);
      const { restoreLogbook } = await import('../../daq/index.js');
      const aside = restoreLogbook(file, logbook, new Date());
      if (json) {
        writeDocument({ logbook, former: aside });
        return;
      }
      say(`${logbook} is the logbook of ${file} now.`);
      if (aside) say(`The former one is in ${aside}; delete it when you are sure.`);
      sayNext('dashpot-bench start', 'shows what is in it');
    });
}
