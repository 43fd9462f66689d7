import type { ApiFoundPart } from '../../server/api.js';
import {
  crankSentence,
  forceRows,
  forceSentence,
  formatNumber,
  lagRows,
  lagSentence,
  lengthSentence,
  movingMassSentence,
} from '../../wording/index.js';
import { QuantityRows } from '../pieces/quantity-rows.js';
import type { Evidence } from './evidence.js';
import { fitOf } from './fit-of.js';
import { FitPicture } from './fit-picture.js';

/** What was found, as the page shows it before it is entered and after. */
export function Shown({ evidence }: { readonly evidence: Evidence }) {
  const fit = fitOf(evidence);
  const rows = rowsOf(evidence);
  return (
    <>
      {fit && <FitPicture fit={fit} />}
      {rows.length > 0 && <QuantityRows caption="How well it is known" rows={rows} />}
    </>
  );
}

export function sentenceOf(found: Pick<ApiFoundPart, 'part' | 'value'>, evidence: Evidence | null): string {
  switch (evidence?.kind) {
    case 'force':
      return forceSentence(evidence.calibration);
    case 'position':
      return lengthSentence(evidence.calibration);
    case 'crank':
      return crankSentence(evidence.calibration);
    case 'lag':
      return lagSentence(evidence.check);
    case 'mass':
      return movingMassSentence(evidence.run);
    default:
      return `Known from elsewhere: ${Object.entries(found.value)
        .map(([key, value]) => `${key} ${typeof value === 'number' ? formatNumber(value, 5) : ''}`)
        .join(', ')}.`;
  }
}

function rowsOf(evidence: Evidence) {
  if (evidence.kind === 'force') return forceRows(evidence.calibration, evidence.drift);
  if (evidence.kind === 'lag') return lagRows(evidence.check);
  if (evidence.kind !== 'position') return [];
  const { standardUncertainty, backlash_m } = evidence.calibration;
  const mm = (quantity: string, value_m: number | null) => ({
    quantity,
    value: value_m === null ? 'not measured' : formatNumber(1000 * value_m, 2),
    unit: value_m === null ? '' : 'mm',
  });
  return [mm('Scatter of a single position', standardUncertainty), mm('Play between in and out', backlash_m)];
}
