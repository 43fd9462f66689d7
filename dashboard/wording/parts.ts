import { valueText } from './amounts.js';
import { formatChosen, sentenceCase } from './numbers.js';
import { type DisplayUnits, metric } from './units.js';

/** What describes a part: texts, and numbers whose keys carry the unit. */
type PartProperties = Readonly<Record<string, string | number | boolean>>;

const LABELS: Readonly<Record<string, string>> = {
  seal: 'seal',
  lubricant: 'lubricant',
  oil: 'oil',
  piston: 'piston',
  holes: 'holes',
  cap: 'cap',
  bleed: 'bleed',
  spacer: 'spacer',
  stop: 'stop',
  spring: 'spring',
};

/** A part of a build as a heading: "Seal". */
export const partLabel = (part: string): string => sentenceCase(LABELS[part] ?? part);

/** What a part is, sizes in the unit that they are sold and typed in: "30 wt, 360 cSt at 25 °C", "3 × 1.2 mm". */
export function partText(part: string, properties: PartProperties, units: DisplayUnits = metric): string {
  const number = (key: string) => formatChosen(Number(properties[key]), 6);
  const has = (key: string) => properties[key] !== undefined && properties[key] !== '';
  switch (part) {
    case 'oil':
      return joined(properties.oil, has('oil_cSt') && `${number('oil_cSt')} cSt at 25 °C`);
    case 'holes': {
      const size = has('hole_mm') ? `${number('hole_mm')} mm` : 'holes';
      return has('holes') ? `${properties.holes} × ${size}` : size;
    }
    case 'spacer':
      return Number(properties.spacer_mm) === 0 ? 'none' : `${number('spacer_mm')} mm`;
    case 'spring':
      return joined(
        properties.spring,
        has('spring_rate_N_per_mm') && rateText(Number(properties.spring_rate_N_per_mm), units),
      );
    default:
      return joined(...Object.values(properties));
  }
}

/** A rate that somebody typed in N/mm. */
export const rateText = (rate_N_per_mm: number, units: DisplayUnits): string =>
  valueText(rate_N_per_mm, 'springRate', units, 1000, (rate) => formatChosen(rate, 4));

/** One change of a part: "seal: blue → red"; without the arrow where nobody noted what was there before. */
export function changeText(part: string, from: PartProperties | null, to: PartProperties): string {
  const label = LABELS[part] ?? part;
  return `${label}: ${from ? `${partText(part, from)} → ` : ''}${partText(part, to)}`;
}

const joined = (...parts: readonly (string | number | boolean | undefined)[]) =>
  parts.filter((part) => part !== undefined && part !== false && part !== '').join(', ');
