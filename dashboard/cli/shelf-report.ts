import type { ShelfItem } from '../../daq/index.js';
import { count, formatChosen, formatNumber } from '../wording/index.js';
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
      { heading: 'What it is', align: 'left', cell: descriptionOf },
    ],
    [...items].sort((a, b) => a.kind.localeCompare(b.kind)),
  );
  return `${style('bold', `${text.charAt(0).toUpperCase()}${text.slice(1)} ${place}.`)}\n\n${numbers}\n`;
}

function descriptionOf({ part }: ShelfItem): string {
  if ('bore_mm' in part)
    return `${part.holes} × ${formatChosen(part.hole_mm)} mm, bore ${formatChosen(part.bore_mm)} mm`;
  if ('rate_N_per_mm' in part) return `${formatNumber(part.rate_N_per_mm)} N/mm`;
  if ('measured' in part && part.measured)
    return `${formatNumber(part.measured.ratio)} times '${part.measured.against}', measured`;
  if ('viscosities' in part && part.viscosities)
    return part.viscosities.map(({ cSt, degC }) => `${formatChosen(cSt)} cSt at ${degC} °C`).join(', ');
  if ('oil_cSt' in part && part.oil_cSt) return `${formatChosen(part.oil_cSt)} cSt at 25 °C`;
  return '';
}
