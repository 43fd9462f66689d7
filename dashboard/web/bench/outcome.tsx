import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { ApiError, SessionBody } from '../../server/api.js';
import {
  findingSentence,
  notIdentifiedSentences,
  recordingSentence,
  refusalSentence,
} from '../../wording/index.js';
import { postBody, troubleOf } from '../api.js';
import { analyses, analysisTroubles, buildOf, needAnalyses, retryAnalyses } from '../logbook.js';
import { PlaceLink } from '../pieces/place-link.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { chosenIds } from '../together/selection.js';

type Done = Extract<SessionBody, { phase: 'done' }>;

/** What a recording found, in words, and whether it is to be kept. */
export function Outcome({ session, onKeep }: { readonly session: Done; readonly onKeep: () => void }) {
  const { recordingId, buildId, state } = session;
  useEffect(() => needAnalyses([recordingId]), [recordingId]);
  const build = buildOf(buildId);
  const name = build?.name ?? 'the build';
  const remount = build?.recordings.find(({ id }) => id === recordingId)?.remount;
  const body = analyses.value.get(recordingId);
  const trouble = analysisTroubles.value.get(recordingId);
  const builds = chosenIds.value.includes(buildId) ? chosenIds.value : [...chosenIds.value, buildId];
  return (
    <div class="outcome">
      <h1>{body ? sentence(body) : `${name} is recorded.`}</h1>
      <p>
        {remount === undefined ? name : `Remount ${remount} of ${name}`}
        {state === 'interrupted' && ', stopped before the procedure had ended'}.
      </p>
      {session.trouble && <Trouble error={session.trouble} />}
      {!body && !trouble && <Waiting doing="Analysing the recording" />}
      {trouble && <Trouble error={trouble} again={retryAnalyses} />}
      {body?.ok && (
        <ul class="findings">
          {body.analysis.findings.map((finding) => (
            <li key={finding.code} class={finding.severity === 'warning' ? 'warning' : ''}>
              {finding.severity === 'warning' && <strong>Look: </strong>}
              {findingSentence(finding)}
            </li>
          ))}
          {notIdentifiedSentences(body.analysis.notIdentified).map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      )}
      <h2>Next</h2>
      <p class="choices">
        <button type="button" class="action" onClick={onKeep}>
          Keep it and go on
        </button>
        <PlaceLink to={{ place: 'together', builds }}>Keep it and see it with the others</PlaceLink>
      </p>
      <Discard recordingId={recordingId} onDiscarded={onKeep} />
    </div>
  );
}

function sentence(body: NonNullable<ReturnType<typeof analyses.value.get>>): string {
  return body.ok ? recordingSentence(body.analysis) : refusalSentence(body.refusal);
}

/** A recording is only ever set aside, with a reason; nothing is deleted. */
function Discard(props: { readonly recordingId: number; readonly onDiscarded: () => void }) {
  const reason = useSignal('');
  const trouble = useSignal<ApiError | null>(null);
  const discard = async (event: Event) => {
    event.preventDefault();
    try {
      await postBody(`/api/recordings/${props.recordingId}/discard`, { reason: reason.value });
      props.onDiscarded();
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
    }
  };
  return (
    <details class="discard">
      <summary>Discard it</summary>
      <form onSubmit={discard}>
        <label class="field">
          <span>Why</span>
          <input
            type="text"
            required
            maxLength={200}
            placeholder="such as: mount was loose"
            value={reason.value}
            onInput={(event) => {
              reason.value = event.currentTarget.value;
            }}
          />
        </label>
        <button type="submit">Discard with this reason</button>
        <p class="note">It stays in the logbook but counts nowhere.</p>
        {trouble.value && <Trouble error={trouble.value} />}
      </form>
    </details>
  );
}
