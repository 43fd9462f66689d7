export * from './contact.js';
export * from './spacers.js';
export * from './sweep.js';
export * from './sweep-of-trace.js';
