import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { reportBody, reportFile } from '../../report/index.js';
import type { ApiError, RigsBody, StateBody } from '../../server/api.js';
import { look } from '../address.js';
import { fetchBody, troubleOf } from '../api.js';
import { saveFile } from '../pieces/save-file.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { chosen } from '../together/selection.js';
import { factsOfPage, type Rigging } from './facts-of-page.js';

/** The comparison as a sheet: to print, or to send as a file that needs nothing else. */
export function Report() {
  const [rigging, setRigging] = useState<Rigging | null>(null);
  const [trouble, setTrouble] = useState<ApiError | null>(null);
  // The date stays what it was when the sheet was opened.
  const [madeAt] = useState(() => new Date().toISOString());
  const ask = () => {
    setTrouble(null);
    Promise.all([fetchBody<StateBody>('/api/state'), fetchBody<RigsBody>('/api/rigs')]).then(
      ([state, rigs]) => setRigging({ state, rigs }),
      (thrown) => setTrouble(troubleOf(thrown)),
    );
  };
  useEffect(ask, []);
  const facts = rigging && factsOfPage(rigging, madeAt);
  return (
    <>
      <p class="report-actions">
        <button type="button" class="quiet" onClick={() => look({ isReport: false }, 'push')}>
          Back to the pictures
        </button>
        <button type="button" class="action" disabled={!facts} onClick={() => print()}>
          Print
        </button>
        <button
          type="button"
          disabled={!facts}
          onClick={() => saveFile(`${fileName()}.html`, 'text/html;charset=utf-8', reportFile(facts!))}
        >
          Save as a file to send
        </button>
      </p>
      {trouble && <Trouble error={trouble} again={ask} />}
      {facts ? <Sheet markup={reportBody(facts)} /> : !trouble && <Waiting doing="Writing the report" />}
    </>
  );
}

/** Markup of our own making, in which every text is escaped. */
function Sheet({ markup }: { readonly markup: string }) {
  const box = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const { head, body } = new DOMParser().parseFromString(markup, 'text/html');
    box.current!.replaceChildren(...head.childNodes, ...body.childNodes);
  }, [markup]);
  return <div class="report-sheet" ref={box} />;
}

/** "low-drag-seal-against-draggy-seal" */
function fileName(): string {
  const [reference, ...others] = chosen.value.map(({ build }) => build.name);
  const words = others.length > 0 ? `${others.join(' ')} against ${reference}` : (reference ?? 'report');
  return words
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '')
    .slice(0, 80);
}
