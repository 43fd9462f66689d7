/** Smoothed shaft motion on a uniform time grid, positive into compression. */
export interface MotionGrid {
  readonly start_s: number;
  readonly step_s: number;
  readonly position_m: Float64Array;
  readonly velocity_m_per_s: Float64Array;
  readonly acceleration_m_per_s2: Float64Array;
  /** How far the oil has warmed, on a scale of 1 from start to end and 0 on average. */
  readonly warmth: Float64Array;
}

/** Smoothed motion at the position sensor's own times, equal lengths. */
export interface SmoothedMotion {
  readonly time_s: Float64Array;
  readonly position_m: Float64Array;
  readonly velocity_m_per_s: Float64Array;
  readonly acceleration_m_per_s2: Float64Array;
}

/**
 * Carries smoothed motion onto a uniform grid by cubic Hermite interpolation of position and of velocity, so that
 * grid position, velocity and acceleration belong together between the samples too.
 * @param motion at least two samples with increasing times
 * @param start_s, step_s, length the grid; points outside the motion take its end values at rest
 */
export function gridMotion(
  motion: SmoothedMotion,
  start_s: number,
  step_s: number,
  length: number,
): MotionGrid {
  const position_m = new Float64Array(length);
  const velocity_m_per_s = new Float64Array(length);
  const acceleration_m_per_s2 = new Float64Array(length);
  const { time_s, position_m: x, velocity_m_per_s: v, acceleration_m_per_s2: a } = motion;
  const last = time_s.length - 1;
  let i = 0;
  for (let k = 0; k < length; k++) {
    const t = start_s + k * step_s;
    if (t <= time_s[0] || t >= time_s[last]) {
      position_m[k] = t <= time_s[0] ? x[0] : x[last];
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
  }
  return {
    start_s,
    step_s,
    position_m,
    velocity_m_per_s,
    acceleration_m_per_s2,
    warmth: warmthOf(velocity_m_per_s),
  };
}

/**
 * What the oil has dissipated so far, with the viscous share v² standing for the power. Heat lost meanwhile is left
 * out.
 */
function warmthOf(velocity_m_per_s: Float64Array): Float64Array {
  const n = velocity_m_per_s.length;
  const warmth = new Float64Array(n);
  let sum = 0;
  let mean = 0;
  for (let k = 0; k < n; k++) {
    sum += velocity_m_per_s[k] ** 2;
    warmth[k] = sum;
    mean += sum / n;
  }
  if (sum > 0) for (let k = 0; k < n; k++) warmth[k] = (warmth[k] - mean) / sum;
  return warmth;
}
