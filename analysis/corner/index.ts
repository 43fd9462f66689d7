export * from './corner.js';
export * from './drop.js';
export * from './equivalent-damping.js';
export * from './motion.js';
export * from './overview.js';
export * from './standing.js';
