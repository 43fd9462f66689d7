export * from './distributions.js';
export * from './exact-sums.js';
export * from './linear.js';
export * from './special-functions.js';
