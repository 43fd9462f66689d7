import { parentPort } from 'node:worker_threads';
import { analyzeSource, type SourceResult } from './analyze-source.js';
import type { Source } from './source.js';

/** What a thread says of the source it was given; the result comes last. */
export type WorkerMessage = { readonly share: number } | { readonly result: SourceResult };

const say = (message: WorkerMessage) => parentPort?.postMessage(message);

/** A thread of the pool: answers each source with how far it is, and then with its result. */
parentPort?.on('message', async (source: Source) => {
  say({ result: await analyzeSource(source, (share) => say({ share })) });
});
