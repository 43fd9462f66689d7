/** Answers to the owner's questions, from analyses to published documents. */
export * from './check-standard.js';
