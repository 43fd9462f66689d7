import type { FittedPart, KeepingBody } from '../../server/api.js';

export type PartName = FittedPart['part'];

/** One field of a part, by the key that its value has. */
export interface PartField {
  readonly key: string;
  readonly label: string;
  readonly hint: string;
  readonly isNumber?: boolean;
  /** What to pick from; anything else can be typed. */
  readonly choices?: (shelf: KeepingBody['shelf']) => string[];
}

const named = (kind: string) => (shelf: KeepingBody['shelf']) =>
  shelf.filter((item) => item.kind === kind).map(({ name }) => name);

/** What describes each part, in the order people name them. */
export const partFields: Readonly<Record<PartName, readonly PartField[]>> = {
  seal: [{ key: 'seal', label: 'Seal', hint: 'red, low friction', choices: named('seal') }],
  lubricant: [{ key: 'lubricant', label: 'Lubricant on the seal', hint: 'grease, thin' }],
  oil: [
    { key: 'oil', label: 'Oil, as the bottle says', hint: '30 wt', choices: named('oil') },
    { key: 'oil_cSt', label: 'Its viscosity, cSt at 25 °C', hint: '350', isNumber: true },
  ],
  piston: [{ key: 'piston', label: 'Piston', hint: 'stock', choices: named('piston') }],
  holes: [
    { key: 'holes', label: 'Number of holes', hint: '3', isNumber: true },
    {
      key: 'hole_mm',
      label: 'Diameter of a hole, mm',
      hint: '1,2',
      isNumber: true,
      choices: (shelf) => shelf.flatMap(({ part }) => ('drill_mm' in part ? [String(part.drill_mm)] : [])),
    },
  ],
  cap: [
    {
      key: 'cap',
      label: 'Bladder or emulsion',
      hint: 'bladder',
      choices: () => ['bladder', 'emulsion', 'vented'],
    },
  ],
  bleed: [{ key: 'bleed', label: 'Bleed', hint: '1 × 0,5 mm, or none' }],
  spacer: [{ key: 'spacer_mm', label: 'Spacer, mm; 0 for none', hint: '2', isNumber: true }],
  stop: [{ key: 'stop', label: 'Stop', hint: 'rubber ring' }],
  spring: [
    { key: 'spring', label: 'Spring', hint: 'soft, or off', choices: named('spring') },
    { key: 'spring_rate_N_per_mm', label: 'Its rate, N/mm', hint: '0,21', isNumber: true },
  ],
};

export const partNames = Object.keys(partFields) as PartName[];

/** What the shelf knows besides of something that was picked from it. */
export function fromShelf(key: string, name: string, shelf: KeepingBody['shelf']): Record<string, string> {
  const part = shelf.find((item) => item.kind === key && item.name === name)?.part;
  if (!part) return {};
  if ('oil_cSt' in part && part.oil_cSt !== undefined && key === 'oil')
    return { oil_cSt: String(part.oil_cSt) };
  if ('rate_N_per_mm' in part) return { spring_rate_N_per_mm: String(part.rate_N_per_mm) };
  if ('hole_mm' in part) return { holes: String(part.holes), hole_mm: String(part.hole_mm) };
  return {};
}
