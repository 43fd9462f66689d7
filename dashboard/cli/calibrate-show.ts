import { openLogbook } from '../../daq/index.js';
import { formatNumber } from '../wording/index.js';
import { type EntryOptions, rigOfReadings } from './calibration-entry.js';
import { badInput } from './failure.js';
import { table } from './table.js';
import { say, sayNext, writeDocument } from './terminal.js';

/** Shows the versions of a rig's calibration, the newest first, and its profile. */
export async function showCalibrations(options: EntryOptions): Promise<void> {
  const rigName = await rigOfReadings(options);
  const logbook = openLogbook(options.logbook, { readOnly: true });
  try {
    const rigId = logbook.findRig(rigName);
    if (rigId === undefined) throw badInput(`--rig ${rigName}`, 'a rig of the logbook', options.logbook);
    const calibrations = logbook.listCalibrations(rigId);
    const parts = logbook.listCalibrationParts(rigId);
    const profile = logbook.rigProfile(rigId) ?? null;
    if (options.json) {
      writeDocument({ rig: rigName, calibrations, parts, profile });
      return;
    }
    if (calibrations.length === 0) {
      say(`Rig '${rigName}' is not calibrated yet.`);
      sayNext(
        'dashpot-bench calibrate force --help',
        'force and position are needed before anything is recorded',
      );
      return;
    }
    say(
      `Rig '${rigName}' has ${calibrations.length} calibrations; version ${calibrations[0]!.version} is in force.`,
    );
    process.stdout.write(
      `\n${table(
        [
          { heading: 'Version', align: 'right', cell: ({ version }) => String(version) },
          {
            heading: 'Entered',
            align: 'left',
            cell: ({ createdAt }) => createdAt.slice(0, 16).replace('T', ' '),
          },
          {
            heading: 'mN/1000 counts',
            align: 'right',
            cell: ({ calibration }) => formatNumber(1e6 * calibration.force.newton_per_count, 5),
          },
          {
            heading: 'mm/1000 counts',
            align: 'right',
            cell: ({ calibration }) => formatNumber(1e6 * calibration.position.metre_per_count, 5),
          },
          {
            heading: 'Lag, ms',
            align: 'right',
            cell: ({ calibration: { lag } }) => (lag ? formatNumber(1000 * lag.value_s, 3) : '–'),
          },
          { heading: 'Note', align: 'left', cell: ({ note }) => note },
        ],
        calibrations,
      )}\n`,
    );
    sayNext(
      `dashpot-bench analyze recording:ID --calibration ${calibrations.at(-1)!.version}`,
      'shows a recording under another calibration than its own',
    );
  } finally {
    logbook.close();
  }
}
