export * from './analyze-recording.js';
export * from './comparison/compare-builds.js';
export * from './comparison/remount-means.js';
export * from './result.js';
export * from './trace.js';
