import {
  type Corner,
  gravity_m_per_s2,
  ratioAt,
  shockTravel_m,
  wheelRate_N_per_m,
  wheelSpring_N,
  wheelTravel_m,
} from './corner.js';

/** How a corner stands and what it does when nudged, damping aside. */
export interface Standing {
  /** Wheel travel from full extension at rest. */
  readonly sag_m: number;
  readonly shockSag_m: number;
  /** By how much drag lets it stand higher or lower. */
  readonly sagDrag_m: number;
  readonly state: 'free' | 'topped-out' | 'bottomed';
  /** At the standing height. */
  readonly motionRatio: number;
  readonly wheelRate_N_per_m: number;
  /** Of the sprung mass, with the tyre in the model where there is one. */
  readonly frequency_Hz: number;
  /** Of the wheel between tyre and spring; null for a rigid tyre. */
  readonly wheelHop_Hz: number | null;
  /** 2·√(k·m) at the wheel, N·s/m. */
  readonly critical_Ns_per_m: number;
}

/**
 * Height at rest and natural frequencies of a corner that `refuseCorner` lets pass.
 * Source: Rao, *Mechanical Vibrations*, one and two degrees of freedom; for two, the eigenvalues of the 2 × 2 problem
 */
export function standingOf(corner: Corner): Standing {
  const weight_N = corner.sprung_kg * gravity_m_per_s2;
  const full_m = wheelTravel_m(corner, corner.travel_m);
  const toppedOut = wheelSpring_N(corner, 0) >= weight_N;
  const bottomed = wheelSpring_N(corner, full_m) <= weight_N;
  const sag_m = toppedOut ? 0 : bottomed ? full_m : balance(corner, weight_N, full_m);
  const rate = wheelRate_N_per_m(corner, sag_m);
  const ratio = ratioAt(corner, sag_m);
  const { sprung_kg, unsprung_kg, tyre_N_per_m, drag_N } = corner;
  const [low, high] =
    tyre_N_per_m === null
      ? [Math.sqrt(rate / sprung_kg), null]
      : twoMasses(sprung_kg, unsprung_kg, rate, tyre_N_per_m);
  return {
    sag_m,
    shockSag_m: shockTravel_m(corner, sag_m),
    sagDrag_m: (((drag_N.compression + drag_N.rebound) / 2) * ratio) / rate,
    state: toppedOut ? 'topped-out' : bottomed ? 'bottomed' : 'free',
    motionRatio: ratio,
    wheelRate_N_per_m: rate,
    frequency_Hz: low / (2 * Math.PI),
    wheelHop_Hz: high === null ? null : high / (2 * Math.PI),
    critical_Ns_per_m: 2 * Math.sqrt(rate * sprung_kg),
  };
}

function balance(corner: Corner, weight_N: number, full_m: number): number {
  let low = 0;
  let high = full_m;
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2;
    if (wheelSpring_N(corner, middle) < weight_N) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Angular frequencies of a mass on a spring on a mass on a spring. */
function twoMasses(sprung_kg: number, unsprung_kg: number, rate: number, tyre: number): [number, number] {
  const sum = rate / sprung_kg + (rate + tyre) / unsprung_kg;
  const product = (rate * tyre) / (sprung_kg * unsprung_kg);
  const root = Math.sqrt(sum * sum - 4 * product);
  return [Math.sqrt((2 * product) / (sum + root)), Math.sqrt((sum + root) / 2)];
}
