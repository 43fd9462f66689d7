import { makeOil, type Oil, type OilDescription } from '../../../analysis/index.js';

/** An oil with a viscosity printed for 25 °C. */
export function oil(label: string, cSt: number, description: Partial<OilDescription> = {}): Oil {
  const printed = [{ viscosity_m2_per_s: cSt * 1e-6, temperature_degC: 25 }];
  const outcome = makeOil({ label, printed, ...description });
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.oil;
}
