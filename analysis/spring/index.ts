export * from './branches.js';
export * from './helical.js';
export * from './label.js';
export * from './pull.js';
export * from './pull-of-trace.js';
export * from './rate-units.js';
export * from './ride.js';
