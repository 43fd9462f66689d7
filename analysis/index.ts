export * from './analyze-recording.js';
export * from './comparison/compare-builds.js';
export * from './result.js';
export * from './trace.js';
