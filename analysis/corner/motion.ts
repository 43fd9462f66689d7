import { curveReader } from '../curves/read-curve.js';
import { type Corner, gravity_m_per_s2, ratioAt, shockTravel_m, wheelSpring_N } from './corner.js';

/** Where things are: downward positive, the wheel's from where its tyre just touches the ground. */
export interface CornerState {
  readonly body_m: number;
  readonly bodySpeed_m_per_s: number;
  readonly wheel_m: number;
  readonly wheelSpeed_m_per_s: number;
  /** Of the seal, −1 to 1 of its sliding drag. */
  readonly seal: number;
}

/** Samples of a motion at even times. */
export interface CornerMotion {
  readonly time_s: Float64Array;
  /** Wheel against body, from full extension. */
  readonly wheelTravel_m: Float64Array;
  readonly shockTravel_m: Float64Array;
  readonly shockSpeed_m_per_s: Float64Array;
  /** What the suspension puts on the body, N. */
  readonly onBody_N: Float64Array;
  readonly body_m: Float64Array;
}

export interface PlayedCorner {
  readonly motion: CornerMotion;
  /** Instant at which the shock's travel was used up, where the motion ends; null where it never was. */
  readonly stopAt_s: number | null;
  readonly end: CornerState;
  readonly fastestShock_m_per_s: number;
  readonly energy: CornerEnergy;
}

/**
 * Work done from start to end, J: `given` is gravity's with what there was of kinetic energy, `damping` the shock's and
 * the tyre's.
 */
export interface CornerEnergy {
  readonly given: number;
  readonly damping: number;
  readonly drag: number;
  /** Stored in spring and tyre, less what was stored at the start. */
  readonly stored: number;
  readonly kinetic: number;
}

/** Travel over which the seal shears before it slides; 0.03 to 0.15 mm are seen. */
const presliding_m = 0.08e-3;
/** Holds the shock together at full extension; stiff against every spring, soft against the step. */
const topOut_N_per_m = 60e3;
const topOut_Ns_per_m = 15;
/** Of the wheel on its tyre: foam-filled tyres hardly bounce; judgement, no source. */
const tyreDampingRatio = 0.2;
const longestStep_s = 4e-5;
const shown_s = 1e-3;

type Vector = Float64Array;
const size = 7;

/**
 * Plays a corner from a state: body on spring, measured damping and drag, on a wheel with tyre or on the ground.
 * @param seconds at most; the motion ends where the shock's travel is used up
 * Numerical notes: fourth-order Runge-Kutta with steps that follow the seal's shear (stable to several m/s); the seal
 *   is Dahl's, so that standing still needs no case of its own; works done are integrated along and close the energy
 *   balance to 1e-4. The wheel may leave the ground, and the shock is held at full extension.
 */
export function playCorner(
  corner: Corner,
  start: CornerState,
  seconds: number,
  swiftest_m_per_s: number,
): PlayedCorner {
  const { sprung_kg, unsprung_kg, tyre_N_per_m, travel_m, drag_N } = corner;
  const onGround = tyre_N_per_m === null;
  const damping_N = quickDamping(corner, 2 * swiftest_m_per_s + 1);
  const stiffest = topOut_N_per_m / (onGround ? sprung_kg : Math.min(sprung_kg, unsprung_kg));
  const step_s = Math.min(longestStep_s, presliding_m / (swiftest_m_per_s + 0.3), 0.5 / Math.sqrt(stiffest));

  const suspension = (y: Vector) => {
    const wheel = y[0] - y[2];
    const ratio = ratioAt(corner, wheel);
    const speed = ratio * (y[1] - y[3]);
    const damping = damping_N(speed);
    const drag = y[4] * (y[4] > 0 ? drag_N.compression : drag_N.rebound);
    const top = wheel < 0 ? topOut_N_per_m * wheel + topOut_Ns_per_m * (y[1] - y[3]) : 0;
    const spring = wheel < 0 ? ratioAt(corner, 0) * corner.preload_N : wheelSpring_N(corner, wheel);
    return { speed, damping, drag, force: spring + ratio * (damping + drag) + top, top };
  };
  const tyreLoss = onGround ? 0 : 2 * tyreDampingRatio * Math.sqrt(tyre_N_per_m * unsprung_kg);
  const tyre_N = (y: Vector) =>
    onGround || y[2] < 0 ? 0 : Math.max(0, tyre_N_per_m * y[2] + tyreLoss * y[3]);

  const slopeInto = (out: Vector, y: Vector) => {
    const { speed, damping, drag, force, top } = suspension(y);
    out[0] = y[1];
    out[1] = gravity_m_per_s2 - force / sprung_kg;
    out[2] = onGround ? 0 : y[3];
    out[3] = onGround ? 0 : gravity_m_per_s2 + (force - tyre_N(y)) / unsprung_kg;
    out[4] = (speed / presliding_m) * (1 - y[4] * Math.sign(speed));
    out[5] =
      damping * speed +
      (top !== 0 ? topOut_Ns_per_m * (y[1] - y[3]) ** 2 : 0) +
      (onGround || y[2] < 0 ? 0 : (tyre_N(y) - tyre_N_per_m * y[2]) * y[3]);
    out[6] = drag * speed;
  };
  const stored = (y: Vector) => {
    const wheel = y[0] - y[2];
    const shock = shockTravel_m(corner, Math.max(0, wheel));
    const atTop =
      wheel < 0 ? 0.5 * topOut_N_per_m * wheel ** 2 + ratioAt(corner, 0) * corner.preload_N * wheel : 0;
    const inTyre = onGround ? 0 : 0.5 * tyre_N_per_m * Math.max(0, y[2]) ** 2;
    return corner.preload_N * shock + 0.5 * corner.spring_N_per_m * shock ** 2 + inTyre + atTop;
  };
  const kinetic = (y: Vector) => 0.5 * sprung_kg * y[1] ** 2 + (onGround ? 0 : 0.5 * unsprung_kg * y[3] ** 2);

  const y = Float64Array.of(
    start.body_m,
    start.bodySpeed_m_per_s,
    start.wheel_m,
    start.wheelSpeed_m_per_s,
    start.seal,
    0,
    0,
  );
  if (onGround) y[3] = 0;
  const [before, moving] = [stored(y), kinetic(y)];
  const [height, wheelHeight] = [y[0], y[2]];
  const rows: number[][] = [];
  const show = (t: number) => {
    const wheel = y[0] - y[2];
    const { speed, force } = suspension(y);
    rows.push([t, wheel, shockTravel_m(corner, wheel), speed, force, y[0]]);
  };
  const advance = rungeKutta(slopeInto);
  let t = 0;
  let fastest = 0;
  let stopAt_s: number | null = null;
  let shown = 0;
  while (t < seconds) {
    if (t >= shown * shown_s) {
      show(t);
      shown++;
    }
    advance(y, step_s);
    y[4] = Math.max(-1, Math.min(1, y[4]));
    t += step_s;
    const wheel = y[0] - y[2];
    fastest = Math.max(fastest, Math.abs(ratioAt(corner, wheel) * (y[1] - y[3])));
    if (shockTravel_m(corner, wheel) >= travel_m) {
      stopAt_s = t;
      break;
    }
  }
  show(t);
  const column = (k: number) => Float64Array.from(rows, (row) => row[k]);
  const fallen = sprung_kg * (y[0] - height) + (onGround ? 0 : unsprung_kg * (y[2] - wheelHeight));
  return {
    motion: {
      time_s: column(0),
      wheelTravel_m: column(1),
      shockTravel_m: column(2),
      shockSpeed_m_per_s: column(3),
      onBody_N: column(4),
      body_m: column(5),
    },
    stopAt_s,
    end: { body_m: y[0], bodySpeed_m_per_s: y[1], wheel_m: y[2], wheelSpeed_m_per_s: y[3], seal: y[4] },
    fastestShock_m_per_s: fastest,
    energy: {
      given: moving + gravity_m_per_s2 * fallen,
      damping: y[5],
      drag: y[6],
      stored: stored(y) - before,
      kinetic: kinetic(y),
    },
  };
}

/** Steps a state in place. */
function rungeKutta(slopeInto: (out: Vector, y: Vector) => void): (y: Vector, step: number) => void {
  const [a, b, c, d, at] = Array.from({ length: 5 }, () => new Float64Array(size));
  const move = (y: Vector, slope: Vector, by: number) => {
    for (let i = 0; i < size; i++) at[i] = y[i] + by * slope[i];
    return at;
  };
  return (y, step) => {
    slopeInto(a, y);
    slopeInto(b, move(y, a, step / 2));
    slopeInto(c, move(y, b, step / 2));
    slopeInto(d, move(y, c, step));
    for (let i = 0; i < size; i++) y[i] += (step / 6) * (a[i] + 2 * b[i] + 2 * c[i] + d[i]);
  };
}

/** The measured damping as force over speed on an even grid of speeds, so that millions of readings are cheap. */
function quickDamping({ damping }: Corner, fastest_m_per_s: number): (speed_m_per_s: number) => number {
  const cells = 2000;
  const read = curveReader(damping);
  const tables = [1, -1].map((sign) =>
    Float64Array.from({ length: cells + 2 }, (_, i) => {
      const speed = (fastest_m_per_s * Math.max(i, 1e-3)) / cells;
      return Math.abs(read(sign * speed)?.force_N ?? 0) / speed;
    }),
  );
  return (speed_m_per_s) => {
    const table = tables[speed_m_per_s >= 0 ? 0 : 1];
    const place = Math.min(cells, (Math.abs(speed_m_per_s) / fastest_m_per_s) * cells);
    const k = Math.floor(place);
    return speed_m_per_s * (table[k] + (place - k) * (table[k + 1] - table[k]));
  };
}
