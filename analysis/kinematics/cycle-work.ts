/** Work that a stroke or a cycle puts into the shock: the area of the force-position loop. */

/**
 * ∫ F·v dt by Simpson's rule for unequal steps.
 * @param time_s n strictly increasing times; for one cycle, first and last a period apart
 * @param force_N n forces, positive when the shock pushes back
 * @param velocity_m_per_s n velocities, positive in compression
 * @returns work in J, positive when the shock takes up energy; 0 for fewer than two samples
 * Numerical notes: exact where the power is a parabola over each pair of steps; an odd last step is closed by the
 *   parabola through the last three samples. A kink of the power, as at a reversal with Coulomb drag, is followed
 *   exactly only at the end of a pair.
 * Source: Simpson's rule for irregular data and its closing step, Cartwright, J. Math. Sci. Math. Educ. 12 (2017) 1
 *   (from memory; the weights are those of the interpolating parabola and the tests derive them again).
 */
export function cycleWork(
  time_s: Float64Array,
  force_N: Float64Array,
  velocity_m_per_s: Float64Array,
): number {
  const n = time_s.length;
  if (force_N.length !== n || velocity_m_per_s.length !== n)
    throw new RangeError(`${n} times, ${force_N.length} forces and ${velocity_m_per_s.length} velocities`);
  const power = (i: number): number => force_N[i] * velocity_m_per_s[i];
  if (n < 2) return 0;
  if (n === 2) return 0.5 * (time_s[1] - time_s[0]) * (power(0) + power(1));
  let work = 0;
  let i = 0;
  for (; i + 2 < n; i += 2) {
    const a = time_s[i + 1] - time_s[i];
    const b = time_s[i + 2] - time_s[i + 1];
    work +=
      ((a + b) / 6) *
      ((2 - b / a) * power(i) + ((a + b) ** 2 / (a * b)) * power(i + 1) + (2 - a / b) * power(i + 2));
  }
  if (i + 1 < n) {
    const a = time_s[n - 2] - time_s[n - 3];
    const b = time_s[n - 1] - time_s[n - 2];
    work +=
      (b / 6) *
      (((2 * b + 3 * a) / (a + b)) * power(n - 1) +
        (b / a + 3) * power(n - 2) -
        (b ** 2 / (a * (a + b))) * power(n - 3));
  }
  return work;
}

/**
 * ∮ F dx of the closed polygon through the samples, which needs no velocity.
 * @param position_m n positions, positive into compression
 * @param force_N n forces at the same instants
 * @returns area in J, positive when the shock takes up energy; the last sample is joined to the first
 * Numerical notes: low by about 6.6/N² of itself for a sinusoid of N samples a cycle, the polygon being inscribed.
 */
export function loopArea(position_m: Float64Array, force_N: Float64Array): number {
  const n = position_m.length;
  if (force_N.length !== n) throw new RangeError(`${n} positions for ${force_N.length} forces`);
  let area = 0;
  for (let i = 0; i < n; i++) {
    const j = i + 1 < n ? i + 1 : 0;
    area += 0.5 * (force_N[i] + force_N[j]) * (position_m[j] - position_m[i]);
  }
  return area;
}
