import { parentPort } from 'node:worker_threads';
import { analyzeSource } from './analyze-source.js';
import type { Source } from './source.js';

/** A thread of the pool: answers each source with its result. */
parentPort?.on('message', async (source: Source) => {
  parentPort?.postMessage(await analyzeSource(source));
});
