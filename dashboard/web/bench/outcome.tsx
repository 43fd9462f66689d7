import { signal, useSignal, useSignalEffect } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { acrossRemounts, tellsDamper } from '../../answers/index.js';
import type { AnalysisBody, ApiError } from '../../server/api.js';
import {
  acrossSentence,
  findingSentence,
  notIdentifiedSentences,
  recordingSentence,
  refusalSentence,
} from '../../wording/index.js';
import { postBody, troubleOf } from '../api.js';
import { analyses, analysisTroubles, buildOf, needAnalyses, retryAnalyses } from '../logbook.js';
import { FindingItem } from '../pieces/finding-item.js';
import { clockTime } from '../pieces/times.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { spreadsBeside } from '../spreads-beside.js';
import { identityOfBuild } from '../together/selection.js';
import { StartsAfterStanding } from '../together/starts.js';
import { units } from '../units.js';
import { type Done, Keep } from './keep.js';
import { adopt } from './sitting.js';

/** What a recording found, in words, whether it is to be kept, and what comes next. */
export function Outcome({ session }: { readonly session: Done }) {
  const { recordingId, buildId, state, asked } = session;
  useEffect(() => {
    needAnalyses([recordingId]);
    adopt({ asked, buildId });
  }, [recordingId]);
  const build = buildOf(buildId);
  const name = build ? `“${build.name}”` : 'the build';
  const recording = build?.recordings.find(({ id }) => id === recordingId);
  const body = analyses.value.get(recordingId);
  const trouble = analysisTroubles.value.get(recordingId);
  // Of a spring or a stop the fit for dampers says nothing worth reading.
  const isOfDamper = tellsDamper(recording?.procedure ?? 'unknown');
  const swept = useMemo(
    () => (body?.ok ? [{ name, identity: identityOfBuild(buildId), analyses: [body.analysis] }] : []),
    [body, buildId],
  );
  const spreads = useMemo(() => spreadsBeside(signal([recordingId])), [recordingId]);
  useSignalEffect(() => (analyses.value.has(recordingId) ? spreads.need() : undefined));
  const across =
    body?.ok && isOfDamper
      ? acrossSentence(acrossRemounts(body.analysis, spreads.known.value), units.value)
      : null;
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    scrollTo(0, 0);
    heading.current?.focus({ preventScroll: true });
  }, []);
  return (
    <div class="outcome">
      <h1 ref={heading} tabIndex={-1}>
        {body && isOfDamper ? sentence(body) : `${name} is recorded.`}
      </h1>
      <p>
        {recording ? `Remount ${recording.remount} of ${name}` : name}, {clockTime(session.elapsed_s)}
        {state === 'interrupted' && ', stopped before the procedure had ended'}.
      </p>
      {across && <p>{across}</p>}
      {session.trouble && <Trouble error={session.trouble} />}
      {!body && !trouble && <Waiting doing="Analysing the recording" />}
      {trouble && <Trouble error={trouble} again={retryAnalyses} />}
      {body?.ok && <StartsAfterStanding builds={swept} />}
      {body?.ok && isOfDamper && (
        <ul class="findings">
          {body.analysis.findings.map((finding) => (
            <FindingItem key={finding.code} isWarning={finding.severity === 'warning'}>
              {findingSentence(finding, units.value)}
            </FindingItem>
          ))}
          {notIdentifiedSentences(body.analysis.notIdentified).map((text) => (
            <FindingItem key={text} isWarning={false}>
              {text}
            </FindingItem>
          ))}
        </ul>
      )}
      <Keep session={session} />
      <Discard recordingId={recordingId} />
    </div>
  );
}

const sentence = (body: AnalysisBody): string =>
  body.ok ? recordingSentence(body.analysis, units.value) : refusalSentence(body.refusal);

/** A recording is only ever set aside, with a reason; nothing is deleted. */
function Discard(props: { readonly recordingId: number }) {
  const reason = useSignal('');
  const trouble = useSignal<ApiError | null>(null);
  const discard = async (event: Event) => {
    event.preventDefault();
    try {
      await postBody(`/api/recordings/${props.recordingId}/discard`, { reason: reason.value });
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
