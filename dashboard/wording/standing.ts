import { scaleEstimate } from '../../analysis/index.js';
import type { StandingStart } from '../answers/index.js';
import { estimateText, formatChosen, formatNumber, plusMinus } from './numbers.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

/**
 * What standing does to a seal, from the longest stand: "After standing for 30 s a start takes 0.61 N beyond sliding,
 * 0.15 ± 0.03 N more than without standing: it sticks when it has stood."
 * @returns null where the shaft never stood
 */
export function standingSentence(
  starts: readonly StandingStart[],
  units: DisplayUnits = metric,
): string | null {
  const longest = starts.at(-1);
  if (!longest) return null;
  const { unit, factor } = displayScale('force', units);
  const more = scaleEstimate(longest.more_N, factor);
  const start = `After standing for ${formatChosen(longest.stood_s, 2)} s a start takes ${formatNumber(factor * longest.excess_N, 2)} ${unit} beyond sliding`;
  if (more.low95 > 0)
    return `${start}, ${plusMinus(more, unit)} more than without standing: it sticks when it has stood.`;
  if (more.high95 < 0)
    return `${start}, ${plusMinus(scaleEstimate(more, -1), unit)} less than without standing: it does not stick by standing.`;
  return `${start}, as without standing: more than ${estimateText(more).high} ${unit} of it would have shown.`;
}
