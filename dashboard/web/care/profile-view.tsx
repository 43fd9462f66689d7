import type { CareRig } from '../../server/api.js';
import { careWords, formatChosen, formatNumber, profileSentence } from '../../wording/index.js';
import { scalesOf } from '../charts/setting.js';
import { RowsTable } from '../pieces/rows-table.js';
import { shortTime } from '../pieces/times.js';
import { units } from '../units.js';
import { Procedure } from './procedure.js';

/** What a rig is: its limits and the way its counts run, from its set-up. */
export function ProfileView({ rig }: { readonly rig: CareRig | null }) {
  const known = rig?.profile ?? null;
  return (
    <>
      <h1>{known ? profileSentence(known.profile, units.value) : careWords.setup.unknown}</h1>
      {known && (
        <>
          <RowsTable
            caption={`Profile ${known.version} of ${rig!.name}`}
            rows={rowsOf(known.profile)}
            columns={[
              { heading: 'Quantity', cell: ({ name }) => name },
              { heading: 'Value', isNumber: true, cell: ({ value, unit }) => `${value} ${unit}` },
            ]}
          />
          <p class="note">
            Entered {shortTime(known.createdAt)}
            {known.note && `: ${known.note}`}. These limits end a run; they are no safety device.
          </p>
        </>
      )}
      <Procedure what="setup" rig={rig} />
    </>
  );
}

function rowsOf(profile: NonNullable<CareRig['profile']>['profile']) {
  const row = (name: string, value: string, unit: string) => ({ name, value, unit });
  const { drive, gravity_m_per_s2 } = profile;
  const { force, length } = scalesOf(units.value);
  return [
    row('Load printed on the cell', formatChosen(profile.cellCapacity_N * force.factor), force.unit),
    row('A run ends at', formatChosen(profile.forceLimit_N * force.factor), force.unit),
    row('Travel', formatChosen(profile.stroke_m * length.factor, 4), length.unit),
    drive
      ? row(
          'Speeds of the drive',
          `${formatChosen(drive.speedMin_rev_per_s)} to ${formatChosen(drive.speedMax_rev_per_s)}`,
          'rev/s',
        )
      : row('Drive', 'none: turned by hand', ''),
    row('Nothing mounted', formatNumber(profile.forceZero_counts, 5), 'counts'),
    row('Full extension', formatNumber(profile.fullExtension_counts, 5), 'counts'),
    row('Temperature', profile.temperature === 'sensor' ? 'by its sensor' : 'typed by you', ''),
    ...(gravity_m_per_s2 ? [row('Local gravity', formatChosen(gravity_m_per_s2, 5), 'm/s²')] : []),
  ];
}
