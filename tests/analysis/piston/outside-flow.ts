import { curvePointOf, estimateOf, type ForceCurve } from '../../../analysis/index.js';
import type { Random } from '../played/random.js';

/**
 * A piston computed another way than analysis/ does: velocity profiles and the gap round the piston are integrated
 * numerically, the hole's ends are Sampson's orifice in series, the force adds up from pressure and wall shear, and
 * every unknown is found by bisection.
 */
export interface OutsidePiston {
  readonly bore_m: number;
  readonly shaft_m: number;
  readonly thickness_m: number;
  readonly holes: readonly { readonly count: number; readonly diameter_m: number }[];
  readonly gap_m: number;
  readonly eccentricity: number;
  readonly lossCompression: number;
  readonly lossRebound: number;
  readonly viscosity_m2_per_s: number;
  readonly density_kg_per_m3: number;
}

const rings = 200;
const around = 64;

function bisect(high: number, at: (x: number) => number): number {
  let low = 0;
  while (at(high) < 0) high *= 2;
  for (let i = 0; i < 70; i++) {
    const middle = (low + high) / 2;
    if (at(middle) < 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Mean velocity of a parabolic profile under a gradient, by rings. */
function meanVelocity(radius_m: number, gradient_Pa_per_m: number, viscosity_Pa_s: number): number {
  let flow = 0;
  for (let i = 0; i < rings; i++) {
    const r = ((i + 0.5) / rings) * radius_m;
    const u = (gradient_Pa_per_m / (4 * viscosity_Pa_s)) * (radius_m ** 2 - r ** 2);
    flow += u * 2 * Math.PI * r * (radius_m / rings);
  }
  return flow / (Math.PI * radius_m ** 2);
}

export function outsideForce_N(piston: OutsidePiston, velocity_m_per_s: number): number {
  const { bore_m, shaft_m, thickness_m, gap_m, eccentricity } = piston;
  const mu = piston.viscosity_m2_per_s * piston.density_kg_per_m3;
  const speed = Math.abs(velocity_m_per_s);
  const loss = velocity_m_per_s > 0 ? piston.lossCompression : piston.lossRebound;
  const shaft_m2 = (Math.PI / 4) * shaft_m ** 2;
  const body_m2 = (Math.PI / 4) * (bore_m - 2 * gap_m) ** 2;
  const swept = ((Math.PI / 4) * bore_m ** 2 - shaft_m2) * speed;
  const unit = piston.holes.map(({ diameter_m }) => meanVelocity(diameter_m / 2, 1, mu));
  const holeFlow = (drop_Pa: number, hole: number) => {
    const { diameter_m } = piston.holes[hole]!;
    const area = (Math.PI / 4) * diameter_m ** 2;
    const dropOf = (u: number) =>
      (u / unit[hole]!) * thickness_m +
      (3 * mu * u * area) / (diameter_m / 2) ** 3 +
      (loss * piston.density_kg_per_m3 * u * u) / 2;
    return area * bisect(1, (u) => dropOf(u) - drop_Pa);
  };
  const arc_m = (Math.PI * (bore_m - gap_m)) / around;
  let slot = 0;
  let dragged = 0;
  let pull_m2 = 0;
  let shear = 0;
  for (let i = 0; i < around; i++) {
    const h = gap_m * (1 + eccentricity * Math.cos((2 * Math.PI * (i + 0.5)) / around));
    slot += (h ** 3 / (12 * mu * thickness_m)) * arc_m;
    dragged += ((speed * h) / 2) * arc_m;
    pull_m2 += (h / 2) * arc_m;
    shear += ((mu * speed * thickness_m) / h) * arc_m;
  }
  const through = (drop_Pa: number) =>
    piston.holes.reduce((sum, { count }, i) => sum + count * holeFlow(drop_Pa, i), slot * drop_Pa + dragged);
  const drop_Pa = bisect(1e4, (drop) => through(drop) - swept);
  return Math.sign(velocity_m_per_s) * (drop_Pa * (body_m2 - shaft_m2 + pull_m2) + shear);
}

/** The curve that an analysis would report: linear and quadratic part fitted to forces with relative noise. */
export function measuredCurve(
  piston: OutsidePiston,
  options: { fastest_m_per_s: number; temperature_degC: number | null; noise: number; random: Random },
): ForceCurve {
  const { fastest_m_per_s, temperature_degC, noise, random } = options;
  const speeds = [0.08, 0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95, 1].map(
    (s) => s * fastest_m_per_s,
  );
  const sides = [-1, 1].map((sign) => {
    const perSpeed = speeds.map((v) => Math.abs(outsideForce_N(piston, sign * v)) / v);
    const n = speeds.length;
    const s1 = speeds.reduce((a, v) => a + v, 0);
    const s2 = speeds.reduce((a, v) => a + v * v, 0);
    const f0 = perSpeed.reduce((a, f) => a + f, 0);
    const f1 = perSpeed.reduce((a, f, i) => a + f * speeds[i]!, 0);
    const quadratic = (n * f1 - s1 * f0) / (n * s2 - s1 * s1);
    const linear = (f0 - quadratic * s1) / n;
    const error = (noise * f0) / n;
    const z = [random.normal(), random.normal()];
    // A fit's errors: the two parts err against each other, the middle of the curve least.
    return {
      linear: linear + error * (z[0]! - 1.5 * z[1]!),
      quadratic: quadratic + (error / fastest_m_per_s) * 2.5 * z[1]!,
      error,
    };
  });
  const points = [...speeds.map((v) => -v).reverse(), ...speeds].map((v) => {
    const { linear, quadratic, error } = sides[v > 0 ? 1 : 0]!;
    const speed = Math.abs(v);
    const force_N = Math.sign(v) * (linear * speed + quadratic * speed * speed);
    const standardError = error * speed * Math.hypot(1, 1.5 - (2.5 * speed) / fastest_m_per_s);
    return curvePointOf(v, estimateOf(force_N, standardError));
  });
  return {
    kind: 'damping',
    points,
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    temperature_degC,
    ceiling_N: null,
    origin: 'recording',
  };
}

/** A hidden piston: everything drawn, the gap and the losses as unknown as in a real one. */
export function drawPiston(random: Random): OutsidePiston {
  const loss = random.uniform(1.5, 2.5);
  return {
    bore_m: random.uniform(10.5e-3, 14.5e-3),
    shaft_m: random.uniform(3e-3, 3.5e-3),
    thickness_m: random.uniform(2e-3, 3.5e-3),
    holes: [{ count: Math.round(random.uniform(2, 6)), diameter_m: random.uniform(1e-3, 1.6e-3) }],
    gap_m: random.uniform(0.03e-3, 0.1e-3),
    eccentricity: random.uniform(0, 0.9),
    lossCompression: loss,
    lossRebound: loss * random.uniform(0.85, 1.15),
    viscosity_m2_per_s: 10 ** random.uniform(2, 2.8) * 1e-6,
    density_kg_per_m3: 968,
  };
}

/** A speed at which it can still be measured: below half a metre a second and four fifths of the ceiling at 1 atm. */
export function measurableSpeed_m_per_s(piston: OutsidePiston): number {
  const ceiling_N = 101_325 * (Math.PI / 4) * (piston.bore_m ** 2 - piston.shaft_m ** 2);
  return Math.min(
    0.5,
    bisect(0.5, (v) => outsideForce_N(piston, v) - 0.8 * ceiling_N),
  );
}
