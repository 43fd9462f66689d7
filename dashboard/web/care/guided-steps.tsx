import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { GuidedBody } from '../../server/api.js';
import {
  careWords,
  enteredSentence,
  formatChosen,
  formatDecimals,
  movingCaution,
  profileSentence,
  stepCaution,
  stepSentence,
} from '../../wording/index.js';
import { NumberField, typedNumber } from '../pieces/number-field.js';
import { clockTime } from '../pieces/times.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { units } from '../units.js';
import { evidenceOf } from './evidence.js';
import { Shown, sentenceOf } from './found-part.js';
import { enterFound, guidedTrouble, leaveGuided, stepDone } from './state.js';

type UnderWay = Exclude<GuidedBody, { phase: 'idle' }>;

/** The procedure under way: what to do now, what was read, and what it came to. */
export function GuidedSteps({ now }: { readonly now: UnderWay }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), [now.phase === 'found', now.phase === 'entered']);
  return (
    <section class="procedure under-way">
      <h2 ref={heading} tabIndex={-1}>
        {careWords[now.what].title}
      </h2>
      <Now now={now} />
      {guidedTrouble.value && <Trouble error={guidedTrouble.value} />}
    </section>
  );
}

function Now({ now }: { readonly now: UnderWay }) {
  switch (now.phase) {
    case 'connecting':
      return (
        <>
          <Waiting doing="Connecting to the rig" />
          <StopGuided />
        </>
      );
    case 'asking':
    case 'reading':
      return <Step now={now} />;
    case 'recording':
      return (
        <>
          <p class="step-caution">{movingCaution}</p>
          <p role="status">
            Recording: {clockTime(now.elapsed_s)}
            {now.planned_s !== null && ` of ${clockTime(now.planned_s)}`}
          </p>
          {now.planned_s !== null && (
            <progress aria-label="How far it is" value={now.elapsed_s} max={now.planned_s} />
          )}
          <StopGuided />
        </>
      );
    case 'found':
      return <Found now={now} />;
    case 'entered':
      return (
        <>
          <p role="status">{enteredSentence(now.what, now.rig, now.entered)}</p>
          <button type="button" onClick={() => void leaveGuided()}>
            Done
          </button>
        </>
      );
    case 'failed':
      return (
        <>
          <Trouble error={now.error} />
          <button type="button" onClick={() => void leaveGuided()}>
            Back
          </button>
        </>
      );
  }
}

function StopGuided() {
  return (
    <p>
      <button type="button" class="stop" onClick={() => void leaveGuided()}>
        Stop
      </button>
    </p>
  );
}

function Step({ now }: { readonly now: Extract<UnderWay, { phase: 'asking' | 'reading' }> }) {
  const measured = useSignal('');
  const { step, taken, wantsLength } = now;
  const isAsking = now.phase === 'asking';
  const done = (event: Event) => {
    event.preventDefault();
    void stepDone(wantsLength ? Number(typedNumber(measured.value)) : null);
    measured.value = '';
  };
  return (
    <form onSubmit={done}>
      <p class="sentence" role="status">
        {stepSentence(step)}
      </p>
      <p class="step-caution">{stepCaution(step)}</p>
      <progress aria-label="Steps done" value={taken.length} max={step.steps} />
      {isAsking && wantsLength && (
        <NumberField
          label="Where the slide stands"
          unit="mm"
          value={measured.value}
          trouble={null}
          onChange={(value) => (measured.value = value)}
        />
      )}
      <p class="step-buttons">
        <button type="submit" class="action" disabled={!isAsking}>
          {isAsking ? 'Done, read it' : now.counts === null ? 'Reading …' : 'Waiting until it is steady …'}
        </button>
        <button type="button" onClick={() => void leaveGuided()}>
          Leave without entering
        </button>
      </p>
      <p class="note reading-now">
        {now.counts === null ? '\u00a0' : `${formatDecimals(now.counts, 0)} counts now`}
      </p>
      {taken.length > 0 && (
        <ol class="taken" aria-label="Read so far">
          {taken.map(({ step: { step: number, what, value }, counts, samples }) => (
            <li key={number} value={number}>
              {what === 'hang-mass' && `${formatChosen(1000 * value, 6)} g: `}
              {what === 'hold-length' && `${formatChosen(1000 * value, 5)} mm: `}
              {formatDecimals(counts, 1)} counts, mean of {samples}
            </li>
          ))}
        </ol>
      )}
    </form>
  );
}

function Found({ now }: { readonly now: Extract<UnderWay, { phase: 'found' }> }) {
  const note = useSignal('');
  const { found } = now;
  const evidence =
    found.kind === 'part' ? evidenceOf({ part: found.part.part, evidence: found.evidence }) : null;
  return (
    <>
      <p class="sentence" role="status">
        {found.kind === 'profile'
          ? profileSentence(found.profile, units.value)
          : sentenceOf(found.part, evidence)}
      </p>
      {evidence && <Shown evidence={evidence} />}
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void enterFound(note.value.trim());
        }}
      >
        <label class="field note-field">
          <span>A note to it, if you like</span>
          <input
            type="text"
            maxLength={200}
            value={note.value}
            onInput={(event) => (note.value = event.currentTarget.value)}
          />
        </label>
        <p class="step-buttons">
          <button type="submit" class="action">
            Enter it for {now.rig}
          </button>
          <button type="button" onClick={() => void leaveGuided()}>
            Leave without entering
          </button>
        </p>
      </form>
    </>
  );
}
