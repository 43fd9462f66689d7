export * from './blank.js';
export * from './drills.js';
export * from './passages.js';
export * from './piston.js';
export * from './piston-flow.js';
export * from './plan-holes.js';
export * from './predict.js';
