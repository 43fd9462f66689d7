/**
 * Shape of the seal's friction, shared by both directions. The state is friction over sliding friction, so the
 * two sliding levels stay linear in the fit.
 */
export interface SealShape {
  /** Travel in which friction follows a reversal, at the sliding level, m. */
  readonly presliding_m: number;
  /** Friction at zero speed over sliding friction, less one. */
  readonly breakawayExcess: number;
  /** Speed at which that excess has fallen to 1/e, m/s. */
  readonly stribeckSpeed_m_per_s: number;
  /** State at the first grid point: a mounted shock carries friction nobody measured. */
  readonly startState: number;
}

/** A common seal, from which searches start that know of none. */
export const commonSeal = {
  presliding_m: 0.08e-3,
  breakawayExcess: 0.3,
  stribeckSpeed_m_per_s: 4e-3,
} as const;

/** (v/v_s)² beyond which the Stribeck excess is gone, e⁻²⁵ = 1e-11, and how close to sliding counts as sliding. */
const farFromBreakaway = 25;
const settled = 1e-9;
/** Share of the start state below which it counts as gone; arithmetic on ever smaller numbers is slow. */
const forgotten = 1e-30;

/** State and its derivatives by ln presliding, excess, ln Stribeck speed and start state; grid length each. */
export interface SealTrack {
  readonly state: Float64Array;
  readonly byPresliding: Float64Array;
  readonly byExcess: Float64Array;
  readonly byStribeckSpeed: Float64Array;
  readonly byStart: Float64Array;
  /**
   * First point since which friction has stood at the sliding level of one direction, its derivatives at 0; where it
   * does not, the point after.
   */
  readonly slidingSince: Int32Array;
}

/** Where a track holds the derivative by each shape parameter of the seal. */
export const sealDerivatives = {
  presliding: 'byPresliding',
  excess: 'byExcess',
  stribeck: 'byStribeckSpeed',
  start: 'byStart',
} as const;

export function sealTrack(length: number): SealTrack {
  return {
    state: new Float64Array(length),
    byPresliding: new Float64Array(length),
    byExcess: new Float64Array(length),
    byStribeckSpeed: new Float64Array(length),
    byStart: new Float64Array(length),
    slidingSince: new Int32Array(length),
  };
}

/**
 * Follows the seal through a prescribed motion: u ← s·γ + (u − s·γ)·exp(−|Δx|/(δ·γ)), γ = 1 + κ·exp(−(v/v_s)²),
 * s = sign Δx. This is the quasi-static LuGre seal, exact for a level constant over a step. The Stribeck level
 * goes through the memory and never multiplies it: a shock held still keeps the friction it had.
 * @param out receives state and sensitivities of grid points `from` to `from + n`, from its index 0 on
 * @param position_m, velocity_m_per_s motion on a grid fine against the presliding travel
 * @param shape the seal, with positive lengths and speeds
 * @param before state at `from`: the shape's own at a recording's start; what sliding in the present direction leaves;
 *   or what `out` still holds, at this index, for the grid point before
 * @see Canudas de Wit, Olsson, Åström & Lischinsky, IEEE Trans. Automatic Control 40(3), 419–425, 1995;
 *   Dahl, AIAA J. 14(12), 1675–1682, 1976, for the form with a constant level
 */
export function followSealInto(
  out: SealTrack,
  position_m: Float64Array,
  velocity_m_per_s: Float64Array,
  shape: SealShape,
  from = 0,
  n = position_m.length,
  before: 'start' | 'sliding' | number = 'start',
): void {
  const { presliding_m, breakawayExcess: excess, stribeckSpeed_m_per_s } = shape;
  const { state, byPresliding, byExcess, byStribeckSpeed, byStart, slidingSince } = out;
  const perSpeed = 1 / stribeckSpeed_m_per_s;
  const perLength = 1 / presliding_m;
  const held = typeof before === 'number';
  let u = held ? state[before] : before === 'start' ? shape.startState : Math.sign(velocity_m_per_s[from]);
  let uPresliding = held ? byPresliding[before] : 0;
  let uExcess = held ? byExcess[before] : 0;
  let uSpeed = held ? byStribeckSpeed[before] : 0;
  let uStart = held ? byStart[before] : before === 'start' ? 1 : 0;
  let x = position_m[held ? from - 1 : from];
  let v = velocity_m_per_s[held ? from - 1 : from];
  let since = 0;
  for (let k = 0; k < n; k++) {
    const dx = position_m[from + k] - x;
    const ratio = 0.5 * (velocity_m_per_s[from + k] + v) * perSpeed;
    x = position_m[from + k];
    v = velocity_m_per_s[from + k];
    let slides = false;
    if (dx !== 0) {
      const sign = dx > 0 ? 1 : -1;
      const squared = ratio * ratio;
      const fall = squared > farFromBreakaway ? 0 : Math.exp(-squared);
      if (fall === 0 && u === sign && uExcess === 0) {
        // Sliding far from any reversal, where most of a recording is spent: nothing changes.
        uStart = 0;
        slides = v * sign > 0;
      } else {
        const level = 1 + excess * fall;
        const perLevel = 1 / level;
        const travel = dx * sign * perLength * perLevel;
        const keep = travel > 40 ? 0 : Math.exp(-travel);
        const target = sign * level;
        const away = (u - target) * keep;
        // d(level) reaches the state twice: through the target and through the rate of approach.
        const byLevel = sign * (1 - keep) + away * travel * perLevel;
        u = target + away;
        uPresliding = uPresliding * keep + away * travel;
        uExcess = uExcess * keep + byLevel * fall;
        uSpeed = uSpeed * keep + byLevel * excess * fall * 2 * squared;
        uStart = uStart > forgotten ? uStart * keep : 0;
        if (fall === 0 && Math.abs(u - sign) < settled && Math.abs(uExcess) < settled) {
          u = sign;
          uPresliding = 0;
          uExcess = 0;
          uSpeed = 0;
        }
      }
    }
    state[k] = u;
    byPresliding[k] = uPresliding;
    byExcess[k] = uExcess;
    byStribeckSpeed[k] = uSpeed;
    byStart[k] = uStart;
    if (!slides) since = k + 1;
    slidingSince[k] = since;
  }
}
