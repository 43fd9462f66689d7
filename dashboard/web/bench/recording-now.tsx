import { useEffect } from 'preact/hooks';
import { sittingQuestion, tellsDamper } from '../../answers/index.js';
import type { SessionBody } from '../../server/api.js';
import { formatNumber } from '../../wording/index.js';
import { scalesOf } from '../charts/setting.js';
import { skippedBatches, traces } from '../live.js';
import { buildOf } from '../logbook.js';
import { clockTime } from '../pieces/times.js';
import { units } from '../units.js';
import { LiveTrace } from './live-trace.js';
import { LiveTrail } from './live-trail.js';
import { adopt } from './sitting.js';
import { SoFar } from './so-far.js';
import { StopRow } from './stop-row.js';

type Active = Extract<SessionBody, { phase: 'recording' | 'stopping' }>;

/** A recording under way: what is being recorded, how far it is, stop, what is known so far, and its traces. */
export function RecordingNow({ session }: { readonly session: Active }) {
  const { asked, buildId, recordingId, phase } = session;
  useEffect(() => adopt({ asked, buildId }), [recordingId]);

  useEffect(() => scrollTo(0, 0), []);
  const { force, length } = scalesOf(units.value);
  const build = buildOf(buildId);
  const name = build ? `“${build.name}”` : 'the build';
  const remount = build?.recordings.find(({ id }) => id === recordingId)?.remount;
  return (
    <div class="recording-now">
      <h1 class="doing">
        Recording {name}
        {remount !== undefined && `, remount ${remount}${ofSeries(remount, asked?.remounts)}`}
      </h1>
      <StopRow isStopping={phase === 'stopping'}>
        <Progress session={session} />
      </StopRow>
      {(!asked || tellsDamper(sittingQuestion(asked.question).procedure)) && (
        <SoFar
          recordingId={recordingId}
          asked={asked}
          elapsed_s={session.elapsed_s}
          duration_s={session.duration_s}
        />
      )}
      <div class="live-pictures">
        <LiveTrail trail={traces.trail} />
        <div>
          <LiveTrace title="Force" shown={force} trace={traces.force_N} />
          <LiveTrace
            title="Position"
            shown={{ ...length, factor: length.factor * 1e-3 }}
            trace={traces.position_mm}
          />
        </div>
      </div>
      <p class="note">
        Escape stops it, and so does leaving this page while the drive turns. None of them replaces the switch
        on the rig that cuts the drive’s power.{' '}
        {session.linesMissing > 0
          ? `${session.linesMissing} lines from the rig were lost on the way.`
          : 'No line from the rig was lost.'}
        {skippedBatches.value > 0 &&
          ` This page was too slow to draw ${skippedBatches.value} pieces of the traces; they are recorded all the same.`}
      </p>
    </div>
  );
}

const ofSeries = (remount: number, planned: number | undefined): string =>
  planned !== undefined && planned >= remount ? ` of ${planned}` : '';

function Progress({ session }: { readonly session: Active }) {
  const { elapsed_s, duration_s } = session;
  if (duration_s === null)
    return (
      <span class="progress-words">
        {clockTime(elapsed_s)}, until you stop it{speedWords(session)}
      </span>
    );
  return (
    <span class="progress">
      <progress max={duration_s} value={elapsed_s} aria-label="Progress of the procedure" />
      <span class="progress-words">
        {Math.ceil(Math.max(0, duration_s - elapsed_s))} s left of {clockTime(duration_s)}
        {speedWords(session)}
      </span>
    </span>
  );
}

/** ", crank 0.37 rev/s (0.37 asked)" */
function speedWords({ crank_rev_per_s, wanted_rev_per_s }: Active): string {
  if (crank_rev_per_s === null) return '';
  const asked = wanted_rev_per_s === null ? '' : ` (${formatNumber(wanted_rev_per_s, 2)} asked)`;
  return `, crank ${formatNumber(crank_rev_per_s, 2)} rev/s${asked}`;
}
