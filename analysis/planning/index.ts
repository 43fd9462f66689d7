export * from './holm.js';
export * from './pairing.js';
export * from './remounts.js';
export * from './rig-resolution.js';
export * from './spread.js';
