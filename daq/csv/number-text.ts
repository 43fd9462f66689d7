/**
 * The number nearest to what a text says, times a power of ten.
 * @param text a decimal number, with a point or a comma, perhaps with an exponent
 * @returns NaN where it is none
 */
export function numberTimesTenTo(text: string, tenTo: number): number {
  const plain = text.replace(',', '.');
  if (tenTo === 0) return Number(plain);
  const [mantissa, exponent = '0'] = plain.toLowerCase().split('e');
  return Number(`${mantissa}e${Number(exponent) + tenTo}`);
}

/**
 * The shortest digits that read back as a number (ECMA-262, Number::toString), with the point moved.
 * @param tenTo by how many places to the right
 * @returns a plain decimal; with an exponent beyond 21 places and below 1e-6, as the language writes numbers
 */
export function textTimesTenTo(value: number, tenTo: number): string {
  if (tenTo === 0 || value === 0) return String(value);
  const [mantissa, exponent] = value.toExponential().split('e');
  const sign = value < 0 ? '-' : '';
  const digits = mantissa!.replace(/[-.]/g, '');
  const point = 1 + Number(exponent) + tenTo;
  if (point > 21 || point < -5) return `${mantissa}e${point - 1}`;
  if (point <= 0) return `${sign}0.${'0'.repeat(-point)}${digits}`;
  if (digits.length <= point) return `${sign}${digits.padEnd(point, '0')}`;
  return `${sign}${digits.slice(0, point)}.${digits.slice(point)}`;
}
