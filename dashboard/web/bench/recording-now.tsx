import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { ApiError, SessionBody } from '../../server/api.js';
import { postBody, troubleOf } from '../api.js';
import { skippedBatches, traces } from '../live.js';
import { buildOf } from '../logbook.js';
import { clockTime } from '../pieces/times.js';
import { Trouble } from '../pieces/trouble.js';
import { LiveTrace } from './live-trace.js';

type Active = Extract<SessionBody, { phase: 'recording' | 'stopping' }>;

/** A recording under way: what is being recorded, how far it is, its traces, and stop. */
export function RecordingNow({ session }: { readonly session: Active }) {
  const trouble = useSignal<ApiError | null>(null);
  const stop = async () => {
    try {
      await postBody('/api/recordings/current/stop');
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
    }
  };
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.key === 'Escape') void stop();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, []);

  // Whoever started it with the keyboard has stop under the fingers.
  const stopButton = useRef<HTMLButtonElement>(null);
  useEffect(() => stopButton.current?.focus({ preventScroll: true }), []);

  const build = buildOf(session.buildId);
  const name = build ? `“${build.name}”` : 'the build';
  return (
    <div class="recording-now">
      <h1>Recording {name}</h1>
      <div class="stop-row">
        <button
          type="button"
          class="stop"
          ref={stopButton}
          onClick={stop}
          disabled={session.phase === 'stopping'}
        >
          {session.phase === 'stopping' ? 'Stopping …' : 'Stop'}
        </button>
        <Progress session={session} />
      </div>
      <p class="note">
        Escape stops too, and so does leaving this page while the drive turns. None of them replaces the
        switch on the rig that cuts the drive’s power.
      </p>
      {trouble.value && <Trouble error={trouble.value} />}
      <LiveTrace title="Force" unit="N" trace={traces.force_N} />
      <LiveTrace title="Position" unit="mm" trace={traces.position_mm} />
      <p class="note">
        {session.linesMissing > 0
          ? `${session.linesMissing} lines from the rig were lost on the way.`
          : 'No line from the rig was lost.'}
        {skippedBatches.value > 0 &&
          ` This page was too slow to draw ${skippedBatches.value} pieces of the traces; they are recorded all the same.`}
      </p>
    </div>
  );
}

function Progress({ session: { elapsed_s, duration_s } }: { readonly session: Active }) {
  if (duration_s === null)
    return <span class="progress-words">{clockTime(elapsed_s)}, until you stop it</span>;
  return (
    <span class="progress">
      <progress max={duration_s} value={elapsed_s} aria-label="Progress of the procedure" />
      <span class="progress-words">
        {clockTime(elapsed_s)} of {clockTime(duration_s)}, {Math.ceil(Math.max(0, duration_s - elapsed_s))} s
        left
      </span>
    </span>
  );
}
