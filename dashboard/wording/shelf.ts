import { formatChosen, formatNumber } from './numbers.js';
import { rateText } from './parts.js';
import { type DisplayUnits, metric } from './units.js';

/** An item of the shelf, as shelf files describe it. */
interface ShelfPart {
  readonly bore_mm?: number | undefined;
  readonly holes?: number | undefined;
  readonly hole_mm?: number | undefined;
  readonly rate_N_per_mm?: number | undefined;
  readonly measured?: { readonly against: string; readonly ratio: number } | undefined;
  readonly viscosities?: readonly { readonly cSt: number; readonly degC: number }[] | undefined;
  readonly oil_cSt?: number | undefined;
}

/** What an item of the shelf is besides its name; empty where there is nothing to say. */
export function shelfPartText(part: object, units: DisplayUnits = metric): string {
  const { bore_mm, holes, hole_mm, rate_N_per_mm, measured, viscosities, oil_cSt } = part as ShelfPart;
  if (bore_mm !== undefined)
    return `${holes} × ${formatChosen(hole_mm!)} mm, bore ${formatChosen(bore_mm)} mm`;
  if (rate_N_per_mm !== undefined) return rateText(rate_N_per_mm, units);
  if (measured) return `${formatNumber(measured.ratio)} times '${measured.against}', measured`;
  if (viscosities)
    return viscosities.map(({ cSt, degC }) => `${formatChosen(cSt)} cSt at ${degC} °C`).join(', ');
  return oil_cSt === undefined ? '' : `${formatChosen(oil_cSt)} cSt at 25 °C`;
}
