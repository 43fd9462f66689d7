/** A stretch of time that a motion grid covers, s. */
export interface Span {
  readonly from_s: number;
  readonly to_s: number;
}

/** Where one span lies on a grid: points `from` to `end` (exclusive), the first at `start_s`. */
export interface GridSpan {
  readonly from: number;
  readonly end: number;
  readonly start_s: number;
}

/** Smoothed shaft motion on a uniform time grid over one span or several, positive into compression. */
export interface MotionGrid {
  readonly step_s: number;
  readonly spans: readonly GridSpan[];
  readonly position_m: Float64Array;
  readonly velocity_m_per_s: Float64Array;
  readonly acceleration_m_per_s2: Float64Array;
  /** How far the oil has warmed, on a scale of 1 from start to end and 0 on average. */
  readonly warmth: Float64Array;
}

/** A grid column read between two of its points, `place` in grid steps. */
export function readAt(column: Float64Array, place: number): number {
  const k = Math.floor(place);
  return column[k] + (place - k) * (column[k + 1] - column[k]);
}

/** Smoothed motion at instants of its own, equal lengths. */
export interface SmoothedMotion {
  readonly time_s: Float64Array;
  readonly position_m: Float64Array;
  readonly velocity_m_per_s: Float64Array;
  readonly acceleration_m_per_s2: Float64Array;
}

/**
 * Carries smoothed motion onto a uniform grid by cubic Hermite interpolation of position and of velocity, so that
 * grid position, velocity and acceleration belong together between the instants too.
 * @param motion at least two instants, increasing
 * @param spans in time order; points outside the motion take its end values at rest
 */
export function gridMotion(motion: SmoothedMotion, spans: readonly Span[], step_s: number): MotionGrid {
  const places: GridSpan[] = [];
  let length = 0;
  for (const { from_s, to_s } of spans) {
    const from = length;
    length += Math.ceil((to_s - from_s) / step_s) + 1;
    places.push({ from, end: length, start_s: from_s });
  }
  const position_m = new Float64Array(length);
  const velocity_m_per_s = new Float64Array(length);
  const acceleration_m_per_s2 = new Float64Array(length);
  const warmth = new Float64Array(length);
  const { time_s, position_m: x, velocity_m_per_s: v, acceleration_m_per_s2: a } = motion;
  const warm = warmthOf(motion);
  const last = time_s.length - 1;
  let i = 0;
  for (const { from, end, start_s } of places)
    for (let k = from; k < end; k++) {
      const t = start_s + (k - from) * step_s;
      if (t <= time_s[0] || t >= time_s[last]) {
        const edge = t <= time_s[0] ? 0 : last;
        position_m[k] = x[edge];
        warmth[k] = warm[edge];
        continue;
      }
      while (time_s[i + 1] < t) i++;
      const h = time_s[i + 1] - time_s[i];
      const s = (t - time_s[i]) / h;
      const s2 = s * s;
      const s3 = s2 * s;
      const left = 1 - 3 * s2 + 2 * s3;
      const right = 3 * s2 - 2 * s3;
      const leftSlope = (s - 2 * s2 + s3) * h;
      const rightSlope = (s3 - s2) * h;
      position_m[k] = left * x[i] + right * x[i + 1] + leftSlope * v[i] + rightSlope * v[i + 1];
      velocity_m_per_s[k] = left * v[i] + right * v[i + 1] + leftSlope * a[i] + rightSlope * a[i + 1];
      acceleration_m_per_s2[k] = a[i] + s * (a[i + 1] - a[i]);
      warmth[k] = warm[i] + s * (warm[i + 1] - warm[i]);
    }
  return { step_s, spans: places, position_m, velocity_m_per_s, acceleration_m_per_s2, warmth };
}

/**
 * What the oil has dissipated so far, with the viscous share v² standing for the power, on a scale of 1 from start to
 * end and 0 on average over time. Heat lost meanwhile is left out.
 */
function warmthOf({ time_s, velocity_m_per_s: v }: SmoothedMotion): Float64Array {
  const n = time_s.length;
  const warmth = new Float64Array(n);
  let integral = 0;
  for (let i = 1; i < n; i++) {
    const h = time_s[i] - time_s[i - 1];
    warmth[i] = warmth[i - 1] + 0.5 * h * (v[i] ** 2 + v[i - 1] ** 2);
    integral += 0.5 * h * (warmth[i] + warmth[i - 1]);
  }
  const whole = warmth[n - 1];
  const mean = integral / (time_s[n - 1] - time_s[0]);
  if (whole > 0) for (let i = 0; i < n; i++) warmth[i] = (warmth[i] - mean) / whole;
  return warmth;
}
