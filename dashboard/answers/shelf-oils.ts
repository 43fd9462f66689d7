import {
  estimateOf,
  makeOil,
  measuredOil,
  type Oil,
  type OilRefusal,
  type Refusal,
} from '../../analysis/index.js';

/** An oil as shelves and files describe it. */
export interface OilEntry {
  readonly name: string;
  readonly oil_cSt?: number | undefined;
  readonly family?: 'silicone' | 'mineral' | undefined;
  readonly viscosities?: readonly { readonly cSt: number; readonly degC: number }[] | undefined;
  readonly oil_density_kg_per_m3?: number | undefined;
  readonly measured?:
    | { readonly against: string; readonly ratio: number; readonly standardError: number }
    | undefined;
}

export type ShelfRefusal = OilRefusal | Refusal<'unknown-reference' | 'same-name'>;
export type ShelfOutcome =
  | { readonly ok: true; readonly oils: readonly Oil[] }
  | { readonly ok: false; readonly refusal: ShelfRefusal };

/**
 * Makes the oils of a shelf.
 * @param entries as described; a measured oil refers to another one by its name
 * @returns in their order; an oil that was measured against another counts as measured, whatever its bottle says
 */
export function oilsOf(entries: readonly OilEntry[]): ShelfOutcome {
  const made = new Map<string, Oil>();
  let left = entries;
  while (left.length > 0) {
    const ready = left.filter(({ measured }) => !measured || made.has(measured.against));
    if (ready.length === 0) return refuseReference(left[0]!, entries);
    for (const entry of ready) {
      if (made.has(entry.name))
        return {
          ok: false,
          refusal: {
            code: 'same-name',
            found: `two oils called '${entry.name}'`,
            wanted: 'a name for each',
          },
        };
      const outcome = oilOf(entry, made);
      if (!outcome.ok) return outcome;
      made.set(entry.name, outcome.oil);
    }
    left = left.filter((entry) => !ready.includes(entry));
  }
  return { ok: true, oils: entries.map(({ name }) => made.get(name)!) };
}

function oilOf(entry: OilEntry, made: ReadonlyMap<string, Oil>): ReturnType<typeof makeOil> {
  const { name, family = 'silicone', oil_cSt, viscosities, oil_density_kg_per_m3, measured } = entry;
  if (measured) {
    const { ratio, standardError } = measured;
    const oil = measuredOil(name, made.get(measured.against)!, estimateOf(ratio, standardError));
    return { ok: true, oil };
  }
  const at25 = oil_cSt === undefined ? [] : [{ cSt: oil_cSt, degC: 25 }];
  return makeOil({
    label: name,
    family,
    printed: [...at25, ...(viscosities ?? [])].map(({ cSt, degC }) => ({
      viscosity_m2_per_s: cSt * 1e-6,
      temperature_degC: degC,
    })),
    ...(oil_density_kg_per_m3 !== undefined && { density25_kg_per_m3: oil_density_kg_per_m3 }),
  });
}

function refuseReference(entry: OilEntry, entries: readonly OilEntry[]): ShelfOutcome {
  const others = entries.filter((other) => other !== entry).map(({ name }) => `'${name}'`);
  return {
    ok: false,
    refusal: {
      code: 'unknown-reference',
      found: `${entry.name}: measured against '${entry.measured!.against}'`,
      wanted: others.length > 0 ? `an oil of the shelf: ${others.join(', ')}` : 'an oil of the shelf',
    },
  };
}

/** An oil as answers show it. */
export interface OilDocument {
  readonly label: string;
  /** At 25 °C. */
  readonly viscosity_cSt: number;
  /** Relative standard uncertainty of the viscosity. */
  readonly uncertainty_percent: number;
  readonly density_kg_per_m3: number;
  readonly family: Oil['family'];
  readonly basis: Oil['basis'];
}

export const oilDocument = (oil: Oil): OilDocument => ({
  label: oil.label,
  viscosity_cSt: oil.viscosity25_m2_per_s * 1e6,
  uncertainty_percent: 100 * oil.uncertainty,
  density_kg_per_m3: oil.density25_kg_per_m3,
  family: oil.family,
  basis: oil.basis,
});
