/** A comparison as one sheet: HTML from facts. No node, no DOM. */
export type * from './facts.js';
export { reportFile } from './file.js';
export { reportBody } from './sheet.js';
export { spreadApart } from './spread-apart.js';
export { type Ticks, ticksWithin } from './ticks.js';
