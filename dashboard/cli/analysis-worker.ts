import { parentPort } from 'node:worker_threads';
import type { WorkerMessage } from './analysis-pool.js';
import { analyzeSource } from './analyze-source.js';
import type { Source } from './source.js';

const say = (message: WorkerMessage) => parentPort?.postMessage(message);

/** A thread of the pool: answers each source with how far it is, and then with its result. */
parentPort?.on('message', async (source: Source) => {
  say({ result: await analyzeSource(source, (share) => say({ share })) });
});
