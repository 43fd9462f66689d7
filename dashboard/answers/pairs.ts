import {
  type ForceCurve,
  type KnownSpread,
  type Oil,
  type Pairing,
  type PairingRefusal,
  pairShocks,
} from '../../analysis/index.js';
import type { NamedBuild } from './compare.js';
import { type BuildRefusal, curveOf, measuredBuild } from './measured-build.js';

export interface PairsQuestion {
  /** Two, four, six or eight shocks. */
  readonly shocks: readonly NamedBuild[];
  /** Total force is what a vehicle feels. */
  readonly kind: ForceCurve['kind'];
  readonly oil?: Oil | null;
  /** Spread between remounts from elsewhere, such as the rig's long-run spread. */
  readonly known?: KnownSpread | undefined;
}

export interface PairsAnswer extends Pairing {
  readonly kind: ForceCurve['kind'];
  /** Oil temperature that all were brought to; null where one is not known. */
  readonly temperature_degC: number | null;
  /** Shocks with a single recording: what another mounting would change is not in their intervals. */
  readonly single: readonly string[];
}

export type PairsOutcome =
  | { readonly ok: true; readonly answer: PairsAnswer }
  | { readonly ok: false; readonly name: string | null; readonly refusal: BuildRefusal | PairingRefusal };

/** Which shocks of a set belong together, see `pairShocks`, all at one oil temperature. */
export function pairsAnswer({ shocks, kind, oil = null, known }: PairsQuestion): PairsOutcome {
  const temperatures = shocks.flatMap(({ analyses }) =>
    analyses.map((analysis) => analysis.temperature_degC),
  );
  const told = temperatures.filter((temperature) => temperature !== null);
  const temperature_degC =
    told.length === temperatures.length ? told.reduce((sum, t) => sum + t, 0) / told.length : null;
  const curves: { label: string; curve: ForceCurve }[] = [];
  for (const { name, analyses } of shocks) {
    const measured = measuredBuild(analyses, { oil, at_degC: temperature_degC, known });
    const found = measured.ok ? curveOf(measured.build, kind) : measured;
    if (!found.ok) return { ok: false, name, refusal: found.refusal };
    curves.push({ label: name, curve: found.curve });
  }
  const paired = pairShocks(curves);
  if (!paired.ok) return { ok: false, name: null, refusal: paired.refusal };
  const single = shocks.filter(({ analyses }) => analyses.length === 1).map(({ name }) => name);
  return { ok: true, answer: { ...paired.pairing, kind, temperature_degC, single } };
}
