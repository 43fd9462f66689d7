/** Fields of the place "Next step" that the address keeps, by the names of the queries that they go into. */

/** A piston by calipers, and the oil in it. */
export const pistonNames = [
  'bore_mm',
  'rod_mm',
  'thickness_mm',
  'holes',
  'hole_mm',
  'gap_mm',
  'oil_cSt',
] as const;
export const springNames = [
  'bare',
  'label',
  'rate_unit',
  'wire_mm',
  'coil_mm',
  'coils',
  'mass_before_g',
  'mass_after_g',
] as const;
export const cornerNames = [
  'mass_g',
  'rate',
  'pull',
  'preload_N',
  'proposed_rate',
  'proposed_pull',
  'proposed_preload_N',
  'rate_unit',
  'travel_mm',
  'motion_ratio',
  'ratio_slope_per_m',
  'unsprung_g',
  'tyre_rate',
  'drop_mm',
] as const;
export const travelNames = [
  'standing_mm',
  'under_piston_mm',
  'outside_mm',
  'inside_mm',
  'piston_mm',
  'nut_mm',
] as const;
export const remountsNames = ['quantity', 'difference_N'] as const;

const typedNames = [
  ...new Set([
    ...pistonNames,
    ...springNames,
    ...cornerNames,
    'sweep',
    ...travelNames,
    ...remountsNames,
  ] as const),
];

export type TypedName = (typeof typedNames)[number];
export type Typed = Readonly<Partial<Record<TypedName, string>>>;

/** Longer than any number or name that a field takes. */
const mostCharacters = 60;

/** Reads what was typed from an address. */
export function typedIn(query: URLSearchParams): Typed {
  const found = typedNames.flatMap((name) => {
    const text = query.get(name)?.slice(0, mostCharacters) ?? '';
    return text === '' ? [] : [[name, text] as const];
  });
  return Object.fromEntries(found);
}

/** Writes it as parts of an address, in the order of the fields. */
export const typedParts = (typed: Typed): string[] =>
  typedNames.flatMap((name) => (typed[name] ? [`${name}=${encodeURIComponent(typed[name])}`] : []));
