import type { ShelfItem } from '../../daq/index.js';
import { count, shelfPartText } from '../wording/index.js';
import { table } from './table.js';
import { style } from './terminal.js';

/** The shelf, or its bin, for a person. */
export function shelfReport(items: readonly ShelfItem[], bin: boolean): string {
  const place = bin ? 'in the bin' : 'on the shelf';
  if (items.length === 0) return `${style('bold', `There is nothing ${place}.`)}\n`;
  const text = count(items.length, 'item');
  const numbers = table(
    [
      { heading: 'Kind', align: 'left', cell: ({ kind }) => kind },
      { heading: 'Name', align: 'left', cell: ({ name }) => name },
      { heading: 'What it is', align: 'left', cell: ({ part }) => shelfPartText(part) },
    ],
    [...items].sort((a, b) => a.kind.localeCompare(b.kind)),
  );
  return `${style('bold', `${text.charAt(0).toUpperCase()}${text.slice(1)} ${place}.`)}\n\n${numbers}\n`;
}
