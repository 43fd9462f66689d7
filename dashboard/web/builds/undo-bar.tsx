import { useEffect } from 'preact/hooks';
import { shortTime } from '../pieces/times.js';
import { Trouble } from '../pieces/trouble.js';
import { keeping, keepingTrouble, redo, undo } from './keeping.js';

/** What would be taken back, and done again, in words; the keys that do so everywhere do so here. */
export function UndoBar() {
  const { undo: back, redo: again } = keeping.value ?? { undo: null, redo: null };
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      const isTyping = (event.target as Element).closest?.('input, textarea, select');
      if (isTyping || !(event.ctrlKey || event.metaKey)) return;
      const key = event.key.toLowerCase();
      const wantsRedo = key === 'y' || (key === 'z' && event.shiftKey);
      const { undo: last, redo: next } = keeping.peek() ?? { undo: null, redo: null };
      if (wantsRedo && next) void redo(next.id);
      else if (key === 'z' && !event.shiftKey && last) void undo(last.id);
      else return;
      event.preventDefault();
    };
    addEventListener('keydown', press);
    return () => removeEventListener('keydown', press);
  }, []);
  if (!back && !again && !keepingTrouble.value) return null;
  return (
    <div class="undo-bar">
      {back && (
        <button type="button" class="quiet" onClick={() => void undo(back.id)}>
          Undo: {back.words} <span class="note">({shortTime(back.happenedAt)})</span>
        </button>
      )}
      {again && (
        <button type="button" class="quiet" onClick={() => void redo(again.id)}>
          Redo: {again.words}
        </button>
      )}
      {keepingTrouble.value && <Trouble error={keepingTrouble.value} />}
    </div>
  );
}
