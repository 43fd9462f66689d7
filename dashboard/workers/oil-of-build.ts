import { makeOil, type Oil, type OilRefusal } from '../../analysis/index.js';
import type { Properties } from '../../daq/index.js';

export type StatedOil =
  | { readonly ok: true; readonly oil: Oil | null }
  | { readonly ok: false; readonly refusal: OilRefusal };

/**
 * The oil in a build: what the request says, else what the logbook says about the build.
 * @param oil_cSt viscosity at 25 °C of the request, where it has one
 * @returns the shelf's oil where its name fits, since the shelf may know more; null where nobody says
 */
export function oilOfBuild(
  oil_cSt: number | undefined,
  properties: Properties,
  shelf: readonly Oil[],
): StatedOil {
  const viscosity_cSt = oil_cSt ?? Number(properties.oil_cSt ?? Number.NaN);
  if (Number.isNaN(viscosity_cSt)) return { ok: true, oil: null };
  const label = String((oil_cSt === undefined && properties.oil) || `${viscosity_cSt} cSt`);
  const known = shelf.find((oil) => oil.label === label);
  if (known) return { ok: true, oil: known };
  return makeOil({ label, printed: [{ viscosity_m2_per_s: viscosity_cSt * 1e-6, temperature_degC: 25 }] });
}
