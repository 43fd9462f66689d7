import { listen } from '../../dashboard/server/index.js';
import type { Bench } from './server-fixture.js';

export interface LiveEvent {
  readonly id: string | undefined;
  readonly name: string;
  readonly data: Record<string, unknown>;
}

/** The live stream as a browser gets it, over a real socket. */
export async function openLive(bench: Bench, lastEventId?: string) {
  const address = bench.server.addresses().length > 0 ? addressOf(bench) : await listen(bench.server, 0);
  const leave = new AbortController();
  const response = await fetch(`${address}api/live`, {
    signal: leave.signal,
    headers: lastEventId ? { 'last-event-id': lastEventId } : {},
  });
  const chunks = response.body!.pipeThrough(new TextDecoderStream()).getReader();
  const seen: LiveEvent[] = [];
  let rest = '';

  async function next(): Promise<void> {
    const { value, done } = await chunks.read();
    if (done) throw new Error('the stream ended');
    const parts = (rest + value).split('\n\n');
    rest = parts.pop()!;
    seen.push(...parts.flatMap(parse));
  }

  return {
    response,
    seen,
    /** Reads until an event is met; returns it. */
    async until(isWanted: (event: LiveEvent) => boolean): Promise<LiveEvent> {
      let looked = 0;
      for (;;) {
        const found = seen.slice(looked).find(isWanted);
        if (found) return found;
        looked = seen.length;
        await next();
      }
    },
    leave: () => leave.abort(),
  };
}

function addressOf(bench: Bench): string {
  const [listening] = bench.server.addresses();
  if (typeof listening !== 'object') throw new Error('the server does not listen on an address');
  return `http://${listening.address}:${listening.port}/`;
}

function parse(text: string): LiveEvent[] {
  const field = (name: string) => new RegExp(`^${name}: (.*)$`, 'm').exec(text)?.[1];
  const name = field('event');
  return name ? [{ id: field('id'), name, data: JSON.parse(field('data')!) as Record<string, unknown> }] : [];
}
