import { estimateOf } from '../estimate.js';
import type { Estimate } from '../result.js';
import { type Blend, blendFor } from './blend.js';
import type { Oil } from './oil.js';

/** An oil of the shelf against a wanted viscosity. */
export interface RankedOil {
  readonly oil: Oil;
  /** Its viscosity over the wanted one, at 25 °C: 1 is a hit. */
  readonly viscosityOverWanted: Estimate;
}

/** What changes in the holes from one oil to another; their ratio is known better where one was measured against the other. */
export function changeOfOil(
  from: Oil,
  to: Oil,
): { viscosityRatio: number; densityRatio: number; uncertainty: number } {
  const direct =
    from.label === to.label
      ? 0
      : to.against?.label === from.label
        ? to.against.uncertainty
        : from.against?.label === to.label
          ? from.against.uncertainty
          : Math.hypot(from.uncertainty, to.uncertainty);
  return {
    viscosityRatio: to.viscosity25_m2_per_s / from.viscosity25_m2_per_s,
    densityRatio: to.density25_kg_per_m3 / from.density25_kg_per_m3,
    uncertainty: direct,
  };
}

/**
 * Holds an oil against a wanted viscosity.
 * @param wanted wanted viscosity over that of the present oil
 */
export function rankedOil(oil: Oil, present: Oil, wanted: Estimate): RankedOil {
  const { viscosityRatio, uncertainty } = changeOfOil(present, oil);
  const over = viscosityRatio / wanted.value;
  return {
    oil,
    viscosityOverWanted: estimateOf(
      over,
      over * Math.hypot(uncertainty, wanted.standardError / wanted.value),
    ),
  };
}

/** The oils of a shelf against a wanted viscosity, the nearest first. */
export const rankOils = (shelf: readonly Oil[], present: Oil, wanted: Estimate): RankedOil[] =>
  shelf.map((oil) => rankedOil(oil, present, wanted)).sort((a, b) => distance(a) - distance(b));

const distance = ({ viscosityOverWanted }: RankedOil): number =>
  Math.abs(Math.log(viscosityOverWanted.value));

/** The two oils of a shelf on either side of a viscosity that are nearest to each other, mixed to it; null without two. */
export function nearestBlend(shelf: readonly Oil[], viscosity25_m2_per_s: number): Blend | null {
  const blends = shelf.flatMap((thin) =>
    shelf
      .filter((thick) => thick.viscosity25_m2_per_s > thin.viscosity25_m2_per_s)
      .flatMap((thick) => {
        const outcome = blendFor(thin, thick, viscosity25_m2_per_s);
        return outcome.ok ? [outcome.blend] : [];
      }),
  );
  const span = ({ thin, thick }: Blend) => thick.viscosity25_m2_per_s / thin.viscosity25_m2_per_s;
  return blends.sort((a, b) => span(a) - span(b))[0] ?? null;
}
