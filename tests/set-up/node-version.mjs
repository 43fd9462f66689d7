/**
 * Whether a Node version lies in a range as package.json's `engines` writes it.
 * @param {string} version e.g. "20.19.4"
 * @param {string} range comparators joined by spaces (all must hold), alternatives by ` || `: ">=20.19 <21 || >=22.12"
 */
export function satisfies(version, range) {
  return range.split('||').some((alternative) =>
    alternative
      .trim()
      .split(/\s+/)
      .every((comparator) => holds(version, comparator)),
  );
}

/** @param {string} version @param {string} comparator */
function holds(version, comparator) {
  const [, operator, bound] = /^(>=|<)(\d+(?:\.\d+){0,2})$/.exec(comparator) ?? [];
  if (bound === undefined) throw new Error(`"${comparator}" is not a comparator this check knows`);
  const order = compare(parts(version), parts(bound));
  return operator === '>=' ? order >= 0 : order < 0;
}

/** @param {string} version */
function parts(version) {
  const numbers = version.split('.').map((part) => Number.parseInt(part, 10));
  return [numbers[0], numbers[1] || 0, numbers[2] || 0];
}

/** @param {number[]} a @param {number[]} b */
function compare(a, b) {
  return a[0] - b[0] || a[1] - b[1] || a[2] - b[2];
}
