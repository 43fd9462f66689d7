/** Answers to the owner's questions, from analyses to published documents. */
export * from './check-standard.js';
export * from './compare.js';
export * from './corner.js';
export * from './drag-along.js';
export * from './known-spread.js';
export * from './live-estimate.js';
export * from './match.js';
export * from './measured-build.js';
export * from './overlay.js';
export * from './pairs.js';
export * from './plan-holes.js';
export * from './plan-oil.js';
export * from './resolves.js';
export * from './shelf-oils.js';
export * from './sitting-plan.js';
export * from './spring.js';
export * from './travel.js';
