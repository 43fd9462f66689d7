import { styleText } from 'node:util';

/** Columns that text may use; pipes and files get 80. */
export function textWidth(): number {
  return Math.max(80, Math.min(process.stdout.columns ?? 80, 120));
}

/** Emphasis on a terminal that shows colour, plain text elsewhere (NO_COLOR is respected). */
export function style(format: Parameters<typeof styleText>[0], text: string): string {
  return styleText(format, text, { stream: process.stdout });
}

/** Spaces at which a line may end: not beside ±, nor between a number and its unit. */
const BREAKS = /(?<!±) (?!±|(?<=\d )(?:N|lbf|gf|mm|in|ms|g|K|s|%|°C)(?![\p{L}\d]))/u;

/** Breaks text at spaces to a width; continued lines are indented. */
export function wrap(text: string, width = textWidth(), indent = ''): string {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(BREAKS)) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (longer.length > width - (lines.length > 0 ? indent.length : 0) && line !== '') {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  lines.push(line);
  return lines.join(`\n${indent}`);
}

/** Writes lines of text, wrapped, to standard output. */
export function say(...paragraphs: string[]): void {
  for (const paragraph of paragraphs) process.stdout.write(`${wrap(paragraph)}\n`);
}

/** Writes one JSON document on a line of its own; numbers that are not finite become null. */
export function writeDocument(document: unknown): void {
  process.stdout.write(`${JSON.stringify(document)}\n`);
}

/** A word of a command to try, quoted where a shell would break it. */
export function argument(text: string): string {
  return /^[\w./:@%+=-]+$/.test(text) ? text : `'${text.replaceAll("'", "'\\''")}'`;
}

/** Ends every text output. */
export function sayNext(command: string, why: string): void {
  const indent = '      ';
  const reason = wrap(why, textWidth() - indent.length).replaceAll('\n', `\n${indent}`);
  process.stdout.write(`\n${style('dim', 'Next:')} ${style('bold', command)}\n${indent}${reason}\n`);
}

/** One line on standard error that is rewritten in place; silent where standard error is no terminal. */
export interface Progress {
  readonly show: (text: string) => void;
  readonly clear: () => void;
}

const MIN_INTERVAL_MS = 60;

export function progressLine(stream: NodeJS.WriteStream = process.stderr): Progress {
  if (!stream.isTTY) return { show: () => {}, clear: () => {} };
  let shownAt_ms = Number.NEGATIVE_INFINITY;
  const erase = '\r\u001b[K';
  return {
    show: (text) => {
      const now_ms = performance.now();
      if (now_ms - shownAt_ms < MIN_INTERVAL_MS) return;
      shownAt_ms = now_ms;
      stream.write(erase + text.slice(0, (stream.columns || 80) - 1));
    },
    clear: () => void stream.write(erase),
  };
}

/** A bar of `width` characters for a share from 0 to 1. */
export function bar(share: number, width = 24): string {
  const full = Math.round(Math.min(1, Math.max(0, share)) * width);
  return '█'.repeat(full) + '░'.repeat(width - full);
}
