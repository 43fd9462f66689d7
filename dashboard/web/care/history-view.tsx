import { useSignal } from '@preact/signals';
import { type RecordingAnalysis, scaleEstimate } from '../../../analysis/index.js';
import type { CareRig, UnderBody } from '../../server/api.js';
import {
  amountText,
  formatNumber,
  plusMinus,
  pointNearest,
  speedText,
  underSentence,
  versionsSentence,
} from '../../wording/index.js';
import { useAnswer } from '../next/use-answer.js';
import { ChoiceField } from '../pieces/choice-field.js';
import { PlaceLink } from '../pieces/place-link.js';
import { RowsTable } from '../pieces/rows-table.js';
import { shortTime } from '../pieces/times.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { units } from '../units.js';

/** The versions of a rig's calibration, and what another than its own makes of an old recording. */
export function HistoryView({ rig }: { readonly rig: CareRig | null }) {
  const calibrations = rig?.calibrations ?? [];
  return (
    <>
      <h1>{versionsSentence(calibrations.map(({ version }) => version))}</h1>
      {calibrations.length === 0 ? (
        <p>
          <PlaceLink to={{ about: 'calibrate', part: 'force' }} class="action">
            Calibrate force first
          </PlaceLink>
        </p>
      ) : (
        <RowsTable
          caption="Versions, newest first"
          rows={calibrations.map((entry, i) => ({ ...entry, isInForce: i === 0 }))}
          columns={[
            {
              heading: 'Version',
              cell: ({ version, isInForce }) => `${version}${isInForce ? ', in force' : ''}`,
            },
            { heading: 'Entered', cell: ({ createdAt }) => shortTime(createdAt) },
            {
              heading: 'mN per 1000 counts',
              isNumber: true,
              cell: ({ calibration: { force } }) => formatNumber(1e6 * force.newton_per_count, 5),
            },
            {
              heading: 'mm per 1000 counts',
              isNumber: true,
              cell: ({ calibration: { position } }) =>
                position.crank ? 'by crank' : formatNumber(1e6 * position.metre_per_count, 5),
            },
            {
              heading: 'Lag, ms',
              isNumber: true,
              cell: ({ calibration: { lag } }) => (lag ? formatNumber(1000 * lag.value_s, 3) : '–'),
            },
            { heading: 'Note', cell: ({ note }) => note || '–' },
          ]}
        />
      )}
      {rig && calibrations.length > 1 && rig.recordings.length > 0 && <ApplyAnother rig={rig} />}
    </>
  );
}

function ApplyAnother({ rig }: { readonly rig: CareRig }) {
  const recording = useSignal<number | null>(null);
  const version = useSignal(rig.calibrations[0]!.version);
  const chosen = rig.recordings.find(({ id }) => id === recording.value) ?? null;
  const path = chosen && `/api/care/under?recording=${chosen.id}&version=${version.value}`;
  const { body, trouble, isAsking } = useAnswer<UnderBody>(path);
  return (
    <section class="procedure">
      <h2>What another calibration makes of an old recording</h2>
      <p class="note">
        A recording keeps the calibration it was made under. This only looks; nothing is changed.
      </p>
      <div class="fields">
        <label class="field">
          <span>Recording</span>
          <select
            value={recording.value ?? ''}
            onChange={(event) => (recording.value = Number(event.currentTarget.value) || null)}
          >
            <option value="">choose one</option>
            {rig.recordings.map(({ id, build, remount, startedAt, calibrationVersion }) => (
              <option key={id} value={id}>
                {`${build}, mounting ${remount}, ${shortTime(startedAt)} (calibration ${calibrationVersion})`}
              </option>
            ))}
          </select>
        </label>
        <ChoiceField
          label="Under calibration"
          value={version.value}
          choices={rig.calibrations.map((entry, i) => [
            entry.version,
            `${entry.version}${i === 0 ? ', in force' : ''}`,
          ])}
          onChange={(number) => (version.value = number)}
        />
      </div>
      {trouble && <Trouble error={trouble} />}
      {isAsking && <Waiting doing="Analysing it under both" />}
      {body && chosen && body.recordingId === chosen.id && <Both body={body} />}
    </section>
  );
}

function Both({ body: { own, other } }: { readonly body: UnderBody }) {
  const drag = (analysis: RecordingAnalysis | null) => analysis?.friction.mean_N?.value ?? null;
  return (
    <>
      <p class="sentence" role="status">
        {underSentence(drag(own.analysis), drag(other.analysis), other.version)}
      </p>
      <RowsTable
        caption="The recording under both"
        rows={quantities().map(({ name, of }) => ({
          name,
          own: own.analysis ? of(own.analysis) : '–',
          other: other.analysis ? of(other.analysis) : '–',
        }))}
        columns={[
          { heading: 'Quantity', cell: ({ name }) => name },
          { heading: `Calibration ${own.version}, its own`, isNumber: true, cell: (row) => row.own },
          { heading: `Calibration ${other.version}`, isNumber: true, cell: (row) => row.other },
        ]}
      />
    </>
  );
}

interface Told {
  readonly name: string;
  readonly of: (analysis: RecordingAnalysis) => string;
}

function quantities(): readonly Told[] {
  const near = speedText(0.1, units.value);
  return [
    { name: 'Drag', of: ({ friction }) => amountText(friction.mean_N, 'force', units.value) },
    { name: 'Breakaway', of: ({ friction }) => amountText(friction.breakaway_N, 'force', units.value) },
    { name: `Damping in compression near ${near}`, of: (analysis) => dampingAt(analysis, 0.1) },
    { name: `Damping in rebound near ${near}`, of: (analysis) => dampingAt(analysis, -0.1) },
    { name: 'Lag', of: ({ rig }) => plusMinus(rig.lag_ms, 'ms') },
  ];
}

function dampingAt({ damping }: RecordingAnalysis, velocity_m_per_s: number): string {
  const point = pointNearest(damping.curve, velocity_m_per_s);
  if (!point) return '–';
  const { force_N: value, standardError_N: standardError, low95_N: low95, high95_N: high95 } = point;
  return amountText(
    scaleEstimate({ value, standardError, low95, high95 }, Math.sign(velocity_m_per_s)),
    'force',
    units.value,
  );
}
