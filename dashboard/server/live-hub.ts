import type { LiveEvents } from './api.js';

/** One connected page. `write` takes text at any time; `isFull` says that earlier text is still waiting. */
export interface LiveReader {
  write(text: string): void;
  isFull(): boolean;
}

export interface LiveHub {
  /** Sends an event to every reader and keeps it for those who reconnect. */
  publish<Name extends keyof LiveEvents>(name: Name, data: LiveEvents[Name]): void;
  /**
   * Adds a reader.
   * @param lastEventId the last event it had before its connection broke; it gets what came after,
   *   as far as that is still kept
   * @returns a function that removes it
   */
  subscribe(reader: LiveReader, lastEventId?: string): () => void;
  readonly readers: number;
}

interface KeptEvent {
  readonly number: number;
  readonly name: keyof LiveEvents;
  readonly text: string;
}

/**
 * Hands live events to any number of pages without ever waiting for one.
 * A reader that is full misses sample batches until it has drained; then it is told how many and continues
 * with the newest. Everything else is small and rare and always sent.
 * @param run a name for this run of the server, so that ids of an earlier run are not taken for its own
 * @param kept events to keep for readers that reconnect; 900 is half a minute at 30 batches a second
 */
export function createLiveHub(run: string, kept = 900): LiveHub {
  const events: KeptEvent[] = [];
  const readers = new Map<LiveReader, { skipped: number }>();
  let lastNumber = 0;

  function deliver(reader: LiveReader, event: KeptEvent): void {
    const debt = readers.get(reader)!;
    if (event.name === 'samples') {
      if (reader.isFull()) {
        debt.skipped++;
        return;
      }
      if (debt.skipped > 0) {
        reader.write(eventText('skipped', { batches: debt.skipped }));
        debt.skipped = 0;
      }
    }
    reader.write(event.text);
  }

  return {
    publish(name, data) {
      const number = ++lastNumber;
      const event: KeptEvent = { number, name, text: eventText(name, data, `${run}-${number}`) };
      events.push(event);
      if (events.length > kept) events.shift();
      for (const reader of readers.keys()) deliver(reader, event);
    },
    subscribe(reader, lastEventId) {
      readers.set(reader, { skipped: 0 });
      const [ofRun, number] = splitId(lastEventId);
      if (ofRun === run) {
        const missed = events.filter((event) => event.number > number);
        const lost = Math.max(0, (missed[0]?.number ?? lastNumber + 1) - number - 1);
        if (lost > 0) reader.write(eventText('skipped', { batches: lost }));
        for (const event of missed) deliver(reader, event);
      }
      return () => readers.delete(reader);
    },
    get readers() {
      return readers.size;
    },
  };
}

function splitId(id: string | undefined): [run: string | null, number: number] {
  const match = /^(.+)-(\d{1,15})$/.exec(id ?? '');
  return match ? [match[1]!, Number(match[2])] : [null, 0];
}

/** One event in the text/event-stream format. Source: WHATWG HTML, Server-sent events, section 9.2.6. */
export function eventText<Name extends keyof LiveEvents>(
  name: Name,
  data: LiveEvents[Name],
  id?: string,
): string {
  return `${id === undefined ? '' : `id: ${id}\n`}event: ${name}\ndata: ${JSON.stringify(data)}\n\n`;
}
