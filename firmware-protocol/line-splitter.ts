import { MAX_LINE_BYTES } from './frames.js';

const NEWLINE = 0x0a;

/** Called with a line without its newline: bytes[start, end), which may be overwritten after the call. */
export type LineListener = (bytes: Uint8Array, start: number, end: number) => void;

/**
 * Cuts a byte stream at its newlines, in bounded memory.
 *
 * A line that arrives in one chunk is handed on in place. Of a line in pieces, one byte more than the longest
 * allowed is kept, enough for the decoder to call it too long; the rest of it is dropped up to the newline.
 */
export class LineSplitter {
  readonly #kept = new Uint8Array(MAX_LINE_BYTES + 1);
  #length = 0;

  /** Takes the next bytes, in chunks of any size, and reports each line they complete. */
  push(chunk: Uint8Array, onLine: LineListener): void {
    let start = 0;
    for (let end = chunk.indexOf(NEWLINE); end >= 0; end = chunk.indexOf(NEWLINE, start)) {
      if (this.#length === 0) onLine(chunk, start, end);
      else {
        this.#keep(chunk, start, end);
        const length = this.#length;
        this.#length = 0;
        onLine(this.#kept, 0, length);
      }
      start = end + 1;
    }
    this.#keep(chunk, start, chunk.length);
  }

  #keep(chunk: Uint8Array, start: number, end: number): void {
    const room = this.#kept.length - this.#length;
    const piece = chunk.subarray(start, Math.min(end, start + room));
    this.#kept.set(piece, this.#length);
    this.#length += piece.length;
  }
}
