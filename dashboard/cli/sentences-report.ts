import { style, wrap } from './terminal.js';

/** Sentences for a person: the first, which is the answer, stands out. */
export function sentencesReport([first = '', ...others]: readonly string[]): string {
  return `${[style('bold', wrap(first)), ...others.map((sentence) => wrap(sentence))].join('\n')}\n`;
}
