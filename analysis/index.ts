export * from './result.js';
export * from './trace.js';
