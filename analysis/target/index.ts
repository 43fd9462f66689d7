export * from './conformance.js';
export * from './judge.js';
export * from './tolerance.js';
