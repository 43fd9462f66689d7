export * from './cycle-work.js';
export * from './local-polynomial.js';
export * from './reversals.js';
export * from './strokes.js';
