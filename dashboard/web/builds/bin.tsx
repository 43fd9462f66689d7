import { useSignal } from '@preact/signals';
import { count, sentenceCase } from '../../wording/index.js';
import { shortTime } from '../pieces/times.js';
import { emptyBin, keeping, takeBack } from './keeping.js';

/** The harmless answer has the focus when the question comes up. */
const takeFocus = (button: HTMLButtonElement | null) => button?.focus();

/** What was thrown away. Emptying asks once; everything else here can be undone. */
export function Bin() {
  const items = keeping.value?.bin ?? [];
  const isAsking = useSignal(false);
  if (items.length === 0)
    return (
      <>
        <h1>The bin is empty.</h1>
        <p class="note">
          Builds, recordings, photos and what is on the shelf go here first. Here they take no part in any
          analysis, and from here they come back as they were.
        </p>
      </>
    );
  const things = count(items.length, 'thing');
  return (
    <>
      <h1>{sentenceCase(`${things} in the bin, out of every analysis.`)}</h1>
      <ul class="bin">
        {items.map((item) => (
          <li key={`${item.kind} ${item.item}`}>
            <span>
              {sentenceCase(item.words)}
              {item.reason && <span class="note">: {item.reason}</span>}{' '}
              {item.binnedAt && <span class="note">{shortTime(item.binnedAt)}</span>}
            </span>
            <button type="button" aria-label={`Take back ${item.words}`} onClick={() => void takeBack(item)}>
              Take back
            </button>
          </li>
        ))}
      </ul>
      {isAsking.value ? (
        <div class="caution" role="alertdialog" aria-label="Empty the bin">
          <p>
            Deleted for good: {things}, with samples and photos. What was done before can then no longer be
            undone either.
          </p>
          <div class="buttons">
            <button
              type="button"
              class="action"
              onClick={() => {
                isAsking.value = false;
                void emptyBin(items.length);
              }}
            >
              Delete {things} for good
            </button>
            <button type="button" ref={takeFocus} onClick={() => (isAsking.value = false)}>
              Keep them
            </button>
          </div>
        </div>
      ) : (
        <p>
          <button type="button" onClick={() => (isAsking.value = true)}>
            Empty the bin …
          </button>
        </p>
      )}
    </>
  );
}
