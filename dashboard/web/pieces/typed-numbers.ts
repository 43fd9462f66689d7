/**
 * Numbers as people type them: a decimal comma counts as a point, several stand apart by spaces, semicolons, or commas
 * that a space follows.
 * @returns null where one of them is no number
 */
export function typedNumbers(text: string): number[] | null {
  const words = text.split(/,\s+|[\s;]+/).filter((word) => word !== '');
  const numbers = words.map((word) => Number(word.replace(',', '.')));
  return numbers.every(Number.isFinite) ? numbers : null;
}
