export * from './distributions.js';
export * from './exact-sums.js';
export * from './levenberg-marquardt.js';
export * from './linear.js';
export * from './special-functions.js';
export * from './summary.js';
