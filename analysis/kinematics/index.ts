export * from './local-polynomial.js';
