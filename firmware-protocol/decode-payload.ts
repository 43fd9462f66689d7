import { asciiText, endOfField } from './fields.js';
import type { SkippedLine, SkipReason } from './frames.js';
import { type LineForm, readFrame } from './line-form.js';

/** Reads a payload, already freed of its checksum, by the forms that its direction has. */
export function decodePayload(
  forms: ReadonlyMap<string, LineForm>,
  bytes: Uint8Array,
  start: number,
  end: number,
): object | SkippedLine {
  const wordEnd = endOfField(bytes, start, end);
  const form = forms.get(asciiText(bytes, start, wordEnd));
  if (!form) return skipped('unknown-type');
  return readFrame(form, bytes, wordEnd + 1, end) ?? skipped('malformed');
}

export function skipped(reason: SkipReason): SkippedLine {
  return { type: 'skipped', reason };
}
