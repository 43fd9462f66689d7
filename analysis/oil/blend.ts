import type { Refusal } from '../refusal.js';
import type { Oil } from './oil.js';
import { doubleLog, fromDoubleLog } from './walther.js';

export type BlendRefusal = Refusal<'different-families' | 'out-of-reach'>;

export interface Blend {
  readonly oil: Oil;
  readonly thin: Oil;
  readonly thick: Oil;
  /** Volume of the thicker oil in the whole, 0 to 1. */
  readonly thickShare: number;
}

export type BlendOutcome =
  | { readonly ok: true; readonly blend: Blend }
  | { readonly ok: false; readonly refusal: BlendRefusal };

/** A mixing rule as the scale on which viscosities average by volume. */
interface MixingRule {
  readonly scale: (viscosity_m2_per_s: number) => number;
  readonly viscosity: (scaled: number) => number;
}

/**
 * log₁₀ log₁₀ (ν + 0.7) averages by volume at one temperature. Source: ASTM D7152, "ASTM Blending Method"; scope and
 * method names seen in the standard's public summary, the averaged quantity from memory. Written for petroleum.
 */
const astmD7152: MixingRule = { scale: doubleLog, viscosity: fromDoubleLog };

/**
 * ln ν averages by volume. Source: Arrhenius (1887), from memory; suppliers' blending charts for silicone oils are
 * straight lines on logarithmic paper (from memory).
 */
const arrhenius: MixingRule = { scale: Math.log, viscosity: Math.exp };

/**
 * Mixes two oils of one family.
 * @param thickShare volume of the thicker oil in the whole, 0 to 1
 * @returns the blend: by ASTM D7152 for mineral oils, by Arrhenius' rule for silicone oils; what the two rules
 *   disagree by is added to its uncertainty, taken as evenly distributed, because neither was made for a given pair.
 *   Measure a blend that matters.
 */
export function blendOf(thin: Oil, thick: Oil, thickShare: number): BlendOutcome {
  const apart = refuseFamilies(thin, thick);
  if (apart) return apart;
  const [used, other] = thin.family === 'mineral' ? [astmD7152, arrhenius] : [arrhenius, astmD7152];
  const by = (rule: MixingRule) =>
    rule.viscosity(
      (1 - thickShare) * rule.scale(thin.viscosity25_m2_per_s) +
        thickShare * rule.scale(thick.viscosity25_m2_per_s),
    );
  const viscosity25_m2_per_s = by(used);
  const disagreement = Math.abs(Math.log(by(other) / viscosity25_m2_per_s)) / Math.sqrt(3);
  const ingredients = Math.hypot((1 - thickShare) * thin.uncertainty, thickShare * thick.uncertainty);
  const nearest = thickShare > 0.5 ? thick : thin;
  const { against: _, ...line } = nearest;
  return {
    ok: true,
    blend: {
      thin,
      thick,
      thickShare,
      oil: {
        ...line,
        label: `${Math.round(100 * (1 - thickShare))} % ${thin.label} + ${Math.round(100 * thickShare)} % ${thick.label}`,
        viscosity25_m2_per_s,
        uncertainty: Math.hypot(ingredients, disagreement),
        density25_kg_per_m3:
          (1 - thickShare) * thin.density25_kg_per_m3 + thickShare * thick.density25_kg_per_m3,
        basis: 'blended',
      },
    },
  };
}

/**
 * The blend of two oils that has a wanted viscosity at 25 °C.
 * @returns refused where the viscosity does not lie between the two oils' or the oils do not mix
 */
export function blendFor(thin: Oil, thick: Oil, viscosity25_m2_per_s: number): BlendOutcome {
  const apart = refuseFamilies(thin, thick);
  if (apart) return apart;
  const { scale } = thin.family === 'mineral' ? astmD7152 : arrhenius;
  const from = scale(thin.viscosity25_m2_per_s);
  const share = (scale(viscosity25_m2_per_s) - from) / (scale(thick.viscosity25_m2_per_s) - from);
  if (!(share >= 0 && share <= 1))
    return {
      ok: false,
      refusal: {
        code: 'out-of-reach',
        found: `${cSt(viscosity25_m2_per_s)} cSt`,
        wanted: `between ${cSt(thin.viscosity25_m2_per_s)} and ${cSt(thick.viscosity25_m2_per_s)} cSt`,
      },
    };
  return blendOf(thin, thick, share);
}

function refuseFamilies(thin: Oil, thick: Oil): { ok: false; refusal: BlendRefusal } | null {
  if (thin.family === thick.family) return null;
  return {
    ok: false,
    refusal: {
      code: 'different-families',
      found: `${thin.label} is a ${thin.family} oil, ${thick.label} a ${thick.family} oil`,
      wanted: 'two oils of one family: silicone and mineral oils do not mix',
    },
  };
}

const cSt = (viscosity_m2_per_s: number): number => Math.round(viscosity_m2_per_s * 1e7) / 10;
