export * from './common-speeds.js';
export * from './force-curve.js';
export * from './read-curve.js';
export * from './remounts.js';
export * from './two-terms.js';
