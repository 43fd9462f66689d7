/** A drill by its trade name and diameter. */
export interface Drill {
  /** "#55" or "1.35 mm". */
  readonly name: string;
  readonly diameter_m: number;
  /** Null for a size of no set that its owner has. */
  readonly set: DrillSet | null;
  /** True where it lies on the owner's shelf. */
  readonly owned: boolean;
}

export type DrillSet = 'number' | 'metric';

/**
 * Number drills 80 to 1 in thousandths of an inch.
 * Source: ASME B94.11M as tabulated in the `drillgauge` units of GNU units 2.22, which lists 55 of them and puts the
 *   others on the straight line between their neighbours; those others agree with two public tables
 */
const numberDrills_mil: readonly number[] = [
  13.5, 14.5, 16, 18, 20, 21, 22.5, 24, 25, 26, 28, 29.2, 31, 32, 33, 35, 36, 37, 38, 39, 40, 41, 42, 43,
  46.5, 52, 55, 59.5, 63.5, 67, 70, 73, 76, 78.5, 81, 82, 86, 89, 93.5, 96, 98, 99.5, 101.5, 104, 106.5, 110,
  111, 113, 116, 120, 128.5, 136, 140.5, 144, 147, 149.5, 152, 154, 157, 159, 161, 166, 169.5, 173, 177, 180,
  182, 185, 189, 191, 193.5, 196, 199, 201, 204, 205.5, 209, 213, 221, 228,
];

const inch_m = 0.0254;

export const numberDrills: readonly Drill[] = numberDrills_mil.map((mil, i) => ({
  name: `#${80 - i}`,
  diameter_m: mil * 1e-3 * inch_m,
  set: 'number',
  owned: false,
}));

/**
 * Metric drills from 0.2 to 6 mm: below 1 mm each tenth and 0.02, 0.05 and 0.08 above it, to 2.95 mm steps of 0.05,
 * from 3 mm steps of 0.1.
 * Source: sizes of BS 328 as quoted in public encyclopaedia articles on drill bit sizes
 */
export const metricDrills: readonly Drill[] = metricSizes_hundredths().map((hundredths) => ({
  name: `${(hundredths / 100).toFixed(2)} mm`,
  diameter_m: hundredths * 1e-5,
  set: 'metric',
  owned: false,
}));

function metricSizes_hundredths(): number[] {
  const small = [2, 3, 4, 5, 6, 7, 8, 9].flatMap((tenth) => [0, 2, 5, 8].map((step) => 10 * tenth + step));
  const middle = Array.from({ length: 40 }, (_, i) => 100 + 5 * i);
  const large = Array.from({ length: 31 }, (_, i) => 300 + 10 * i);
  return [...small, ...middle, ...large];
}

/** Drills are the same where they differ by less than half a thousandth of an inch. */
const sameDrill_m = 6e-6;

/**
 * All drills of some sets and of the owner, by increasing diameter.
 * @param owned_m diameters on the owner's shelf; one that is in a set is marked there
 */
export function drillsOf(sets: readonly DrillSet[], owned_m: readonly number[] = []): readonly Drill[] {
  const same = (a: number, b: number) => Math.abs(a - b) < sameDrill_m;
  const known = [
    ...(sets.includes('number') ? numberDrills : []),
    ...(sets.includes('metric') ? metricDrills : []),
  ].map((drill) => ({ ...drill, owned: owned_m.some((diameter) => same(diameter, drill.diameter_m)) }));
  const others = owned_m
    .filter((diameter) => !known.some((drill) => same(diameter, drill.diameter_m)))
    .map(
      (diameter_m): Drill => ({
        name: `${(diameter_m * 1e3).toFixed(2)} mm`,
        diameter_m,
        set: null,
        owned: true,
      }),
    );
  return [...known, ...others].sort((a, b) => a.diameter_m - b.diameter_m);
}

/**
 * The drills around a wanted hole.
 * @param wanted_m diameter
 * @param present_m diameter of the hole that is there; smaller drills do nothing
 * @param drills by increasing diameter
 * @returns by increasing diameter the largest that do not overshoot, of the owner's and of all, none where the present
 *   hole leaves none; and the two above
 */
export function drillsAround(
  wanted_m: number,
  present_m: number,
  drills: readonly Drill[],
): { readonly below: readonly Drill[]; readonly above: readonly Drill[] } {
  const cutting = drills.filter(({ diameter_m }) => diameter_m > present_m + 1e-6);
  const short = cutting.filter(({ diameter_m }) => diameter_m <= wanted_m);
  const nearest = [short.findLast(({ owned }) => owned), short.at(-1)];
  return {
    below: [...new Set(nearest)].filter((drill) => drill !== undefined),
    above: cutting.filter(({ diameter_m }) => diameter_m > wanted_m).slice(0, 2),
  };
}
