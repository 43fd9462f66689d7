export * from './ewma.js';
export * from './judge-check.js';
export * from './shewhart.js';
export * from './spread-limit.js';
