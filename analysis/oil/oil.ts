import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import { pdmsViscosityRatio, siliconeDensity_kg_per_m3 } from './silicone.js';
import {
  leastWaltherViscosity_m2_per_s,
  type ViscosityPoint,
  type WaltherConstants,
  waltherConstants,
  waltherViscosity_m2_per_s,
} from './walther.js';

export type OilFamily = 'silicone' | 'mineral';

/** An oil as the owner has it. The label ("30 wt") names the bottle and nothing else: makers' weights differ. */
export interface Oil {
  readonly label: string;
  readonly family: OilFamily;
  readonly viscosity25_m2_per_s: number;
  /** Relative standard uncertainty of the viscosity. */
  readonly uncertainty: number;
  readonly density25_kg_per_m3: number;
  /** Where the viscosity comes from. */
  readonly basis: 'printed' | 'measured' | 'blended';
  /** Line of a mineral oil; silicone oils follow one relation. */
  readonly walther?: WaltherConstants;
  /** The oil it was measured against, so that their ratio is known better than either. */
  readonly against?: { readonly label: string; readonly uncertainty: number };
}

export interface OilDescription {
  readonly label: string;
  /** Silicone where nothing is said, as nearly all shock oils are. */
  readonly family?: OilFamily;
  /** As printed: one viscosity for a silicone oil, two at different temperatures for a mineral oil. */
  readonly printed: readonly ViscosityPoint[];
  readonly density25_kg_per_m3?: number;
  /** Relative standard uncertainty of the printed viscosity. */
  readonly uncertainty?: number;
}

export type OilRefusal = Refusal<'bad-viscosity' | 'bad-density' | 'bad-uncertainty' | 'no-temperature-line'>;
export type OilOutcome =
  | { readonly ok: true; readonly oil: Oil }
  | { readonly ok: false; readonly refusal: OilRefusal };

/** Bottles are usually filled to within a tenth of what they say: 5 % standard. Common practice, no source. */
export const printedUncertainty = 0.05;
/** Density of a mineral oil where none is given, kg/m³; from memory. */
const mineralDensity_kg_per_m3 = 870;
/** Expansion of mineral oils, 1/K, from memory. */
const mineralExpansion_per_K = 7e-4;
const thickest_m2_per_s = 0.2;

/**
 * Makes an oil from what is printed on its bottle.
 * @param description viscosities in m²/s (1 cSt is 1e-6 m²/s), density in kg/m³
 * @returns the oil with its viscosity brought to 25 °C, or why the description cannot be used
 */
export function makeOil(description: OilDescription): OilOutcome {
  const { label, family = 'silicone', printed, uncertainty = printedUncertainty } = description;
  const refuse = (code: OilRefusal['code'], found: string, wanted: string): OilOutcome => ({
    ok: false,
    refusal: { code, found: `${label}: ${found}`, wanted },
  });
  for (const { viscosity_m2_per_s } of printed)
    if (!(viscosity_m2_per_s > 0 && viscosity_m2_per_s < thickest_m2_per_s))
      return refuse('bad-viscosity', `${viscosity_m2_per_s * 1e6} cSt`, 'between 0 and 200 000 cSt');
  if (printed.length === 0)
    return refuse('bad-viscosity', 'no viscosity, only a label', 'cSt at a temperature');
  if (!(uncertainty >= 0 && uncertainty < 1))
    return refuse('bad-uncertainty', `${uncertainty}`, 'a share of the viscosity from 0 to 1');
  const walther = family === 'mineral' ? lineOf(printed) : undefined;
  if (walther === null)
    return refuse(
      'no-temperature-line',
      `${printed.length} viscosities of a mineral oil`,
      'two above 2 cSt, lower at the higher of two temperatures',
    );
  const viscosity25_m2_per_s = walther
    ? waltherViscosity_m2_per_s(walther, 25)
    : printed[0].viscosity_m2_per_s / pdmsViscosityRatio(printed[0].temperature_degC);
  const density25_kg_per_m3 =
    description.density25_kg_per_m3 ??
    (walther ? mineralDensity_kg_per_m3 : siliconeDensity_kg_per_m3(viscosity25_m2_per_s));
  if (!(density25_kg_per_m3 > 500 && density25_kg_per_m3 < 2000))
    return refuse('bad-density', `${density25_kg_per_m3} kg/m³`, 'between 500 and 2000 kg/m³');
  return {
    ok: true,
    oil: {
      label,
      family,
      viscosity25_m2_per_s,
      uncertainty,
      density25_kg_per_m3,
      basis: 'printed',
      ...(walther && { walther }),
    },
  };
}

function lineOf(printed: readonly ViscosityPoint[]): WaltherConstants | null {
  const [first, second] = printed;
  if (!second || printed.some((point) => point.viscosity_m2_per_s < leastWaltherViscosity_m2_per_s))
    return null;
  const constants = waltherConstants(first, second);
  return constants.B > 0 && Number.isFinite(constants.B) ? constants : null;
}

/**
 * An oil whose viscosity was measured in a shock, as a ratio to an oil in the same piston.
 * @param reference oil the ratio refers to
 * @param ratio viscosity of the new oil over that of the reference, at 25 °C
 */
export function measuredOil(label: string, reference: Oil, ratio: Estimate): Oil {
  const uncertainty = ratio.standardError / ratio.value;
  const viscosity25_m2_per_s = reference.viscosity25_m2_per_s * ratio.value;
  return {
    ...reference,
    label,
    viscosity25_m2_per_s,
    uncertainty: Math.hypot(reference.uncertainty, uncertainty),
    density25_kg_per_m3:
      reference.family === 'silicone'
        ? siliconeDensity_kg_per_m3(viscosity25_m2_per_s)
        : reference.density25_kg_per_m3,
    basis: 'measured',
    against: { label: reference.label, uncertainty },
  };
}

/** Viscosity at a temperature over that at 25 °C. */
export function thinning(oil: Oil | null, temperature_degC: number): number {
  if (!oil?.walther) return pdmsViscosityRatio(temperature_degC);
  return (
    waltherViscosity_m2_per_s(oil.walther, temperature_degC) / waltherViscosity_m2_per_s(oil.walther, 25)
  );
}

/** Kinematic viscosity at a temperature, m²/s. */
export const viscosityOf_m2_per_s = (oil: Oil, temperature_degC: number): number =>
  oil.viscosity25_m2_per_s * thinning(oil, temperature_degC);

/** Density at a temperature, kg/m³. */
export function densityOf_kg_per_m3(oil: Oil, temperature_degC: number): number {
  if (oil.family === 'mineral')
    return oil.density25_kg_per_m3 * (1 - mineralExpansion_per_K * (temperature_degC - 25));
  const table = siliconeDensity_kg_per_m3(oil.viscosity25_m2_per_s, temperature_degC);
  return (oil.density25_kg_per_m3 * table) / siliconeDensity_kg_per_m3(oil.viscosity25_m2_per_s);
}
