'use strict';

/*
 * The five functions danfojs-node takes from mathjs, each over one flat array of numbers.
 * They keep what danfojs relies on: sample (n - 1) variance, 0 for a single value, a list from `mode`,
 * an error for an empty array.
 */

function mean(values) {
  requireSome(values, 'mean');
  let sum = 0;
  for (const value of values) sum += value;
  return sum / values.length;
}

function median(values) {
  requireSome(values, 'median');
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle] : sorted[middle - 1] / 2 + sorted[middle] / 2;
}

/** All values that occur most often, in order of first appearance. */
function mode(values) {
  requireSome(values, 'mode');
  const counts = new Map();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  let most = 0;
  for (const count of counts.values()) most = Math.max(most, count);
  return [...counts.keys()].filter((value) => counts.get(value) === most);
}

/** Two passes, the second corrected for the rounding of the mean, so that a large offset costs no digits. */
function variance(values) {
  const centre = mean(values);
  if (values.length === 1) return 0;
  let squares = 0;
  let remainder = 0;
  for (const value of values) {
    squares += (value - centre) ** 2;
    remainder += value - centre;
  }
  return (squares - remainder ** 2 / values.length) / (values.length - 1);
}

function std(values) {
  return Math.sqrt(variance(values));
}

function requireSome(values, name) {
  if (values.length === 0) throw new Error(`${name} of no values`);
}

module.exports = { mean, median, mode, std, variance };
