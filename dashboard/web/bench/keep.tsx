import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { ApiError, SessionBody } from '../../server/api.js';
import { type Address, go } from '../address.js';
import { postBody, troubleOf } from '../api.js';
import { estimates } from '../live.js';
import { analysesOf, buildOf, needAnalyses, remountsOf } from '../logbook.js';
import { Trouble } from '../pieces/trouble.js';
import { units } from '../units.js';
import { newBuild } from './build-choice.js';
import { knownOf, sharpnessOf } from './narrowing.js';
import { type NextInSeries, nextInSeries } from './series.js';
import { build, counterpartOf, decisive, isGoingOn, neededOf } from './sitting.js';

/** A recording that has ended and waits for what becomes of it. */
export type Done = Extract<SessionBody, { phase: 'done' }>;

/** Keeping a recording, with a word on it where somebody has one, and going on with what comes next. */
export function Keep({ session }: { readonly session: Done }) {
  const { recordingId, asked, state } = session;
  const isEarly = state === 'interrupted';
  const reason = useSignal(isEarly ? whyEarly(session) : '');
  const trouble = useSignal<ApiError | null>(null);
  const onRig = buildOf(session.buildId);
  const others = onRig ? remountsOf(onRig).map(({ id }) => id) : [];
  const isAboutRig = asked?.question === 'rig';
  useEffect(() => {
    if (isAboutRig) needAnalyses(others);
  }, [others.length]);
  if (!onRig) return null;

  const complete = new Set([...others, recordingId]);
  const next = nextInSeries({
    recordingId,
    build: onRig,
    complete,
    counterpart: counterpartOf(onRig),
    asked,
    analyses: analysesOf(complete),
    units: units.value,
  });
  const keep = async (then: () => void) => {
    try {
      if (reason.value.trim() === '') await postBody('/api/recordings/current/settle');
      else await postBody(`/api/recordings/${recordingId}/keep`, { reason: reason.value });
      then();
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
    }
  };
  const leave = () => {
    reason.value = '';
    return keep(() => another(false));
  };
  const onceMore = () => {
    build.value = { kind: 'existing', buildId: onRig.id };
    isGoingOn.value = true;
    go({ place: 'bench' });
  };
  const another = (after: boolean) => {
    if (after) build.value = newBuild(onRig);
    isGoingOn.value = after;
    go({ place: 'bench' });
  };
  const goTo = (to: Partial<Address>) => {
    isGoingOn.value = false;
    go(to);
  };
  const mayKeep = !isEarly || reason.value.trim() !== '';
  return (
    <section class="keep">
      <h2>Keep it?</h2>
      {next.kind === 'rig' && next.sentences.map((sentence) => <p key={sentence}>{sentence}</p>)}
      <label class="field">
        <span>{isEarly ? 'Why it counts although it was stopped early' : 'A word on it, if you like'}</span>
        <input
          type="text"
          maxLength={200}
          placeholder={isEarly ? 'such as: sharp enough' : 'such as: warm garage'}
          value={reason.value}
          onInput={(event) => {
            reason.value = event.currentTarget.value;
          }}
        />
      </label>
      <p class="choices">
        <button
          type="button"
          class="action"
          disabled={!mayKeep}
          onClick={() =>
            keep(() => {
              if (next.kind === 'remount') onceMore();
              else if (next.kind === 'answer') goTo(next.to);
              else another(next.kind === 'change');
            })
          }
        >
          {labelOf(next)}
        </button>
        {next.kind === 'remount' ? (
          <button type="button" disabled={!mayKeep} onClick={() => keep(() => another(false))}>
            Keep it and do something else
          </button>
        ) : (
          <button type="button" disabled={!mayKeep} onClick={() => keep(onceMore)}>
            Keep it and measure once more
          </button>
        )}
      </p>
      {isEarly && (
        <p class="note">
          Without a reason it does not count as a whole recording.{' '}
          <button type="button" class="quiet" onClick={() => leave()}>
            Go on without counting it
          </button>
        </p>
      )}
      {trouble.value && <Trouble error={trouble.value} />}
    </section>
  );
}

function labelOf(next: NextInSeries): string {
  switch (next.kind) {
    case 'remount':
      return `Keep it, then remount ${next.remount} of ${next.of}`;
    case 'change':
      return 'Keep it, then measure after the change';
    case 'answer':
      return `Keep it and ${next.label}`;
    case 'rig':
      return 'Keep it and go on';
  }
}

/** What was on the screen when it was stopped is the reason most of the time. */
function whyEarly({ recordingId, asked }: Done): string {
  const own = estimates.value.filter((estimate) => estimate.recordingId === recordingId);
  const decides = decisive(asked);
  const value = knownOf(own, decides).at(-1)?.estimate.value;
  const needed = value === undefined ? null : neededOf(asked, decides, value);
  return sharpnessOf(own, decides, needed) === 'sharp' ? 'stopped early: sharp enough' : '';
}
