import type { TravelAnswer } from '../answers/index.js';
import { formatNumber, plusMinus, sweepCaution } from '../wording/index.js';
import { sentencesReport } from './sentences-report.js';
import { table } from './table.js';
import { wrap } from './terminal.js';

/** A shock's travel for a person: sentences, the numbers, what can hurt. */
export function travelReport(answer: TravelAnswer, sentences: readonly string[]): string {
  const { travel_mm, contact, fullExtension, from_mm, to_mm } = answer;
  const touch = (name: string, found: TravelAnswer['contact']) => [
    {
      quantity: `${name} from`,
      value: found ? plusMinus(found.position_mm, '') : 'not felt',
      unit: found ? 'mm' : '',
    },
    ...(found
      ? [{ quantity: `${name}, stiffness`, value: formatNumber(found.stiffness_N_per_mm, 2), unit: 'N/mm' }]
      : []),
  ];
  const numbers = table(
    [
      { heading: 'Quantity', align: 'left', cell: ({ quantity }) => quantity },
      { heading: 'Value (± 95 %)', align: 'right', cell: ({ value }) => value },
      { heading: 'Unit', align: 'left', cell: ({ unit }) => unit },
    ],
    [
      { quantity: 'Travel', value: plusMinus(travel_mm, ''), unit: 'mm' },
      ...touch('Stop', contact),
      ...touch('Full extension', fullExtension),
      { quantity: 'Sweep began at', value: formatNumber(from_mm, 4), unit: 'mm' },
      { quantity: 'Sweep ended at', value: formatNumber(to_mm, 4), unit: 'mm' },
    ],
  );
  return `${sentencesReport(sentences)}\n${numbers}\n\n${wrap(`▲ ${sweepCaution}`, undefined, '  ')}\n`;
}
