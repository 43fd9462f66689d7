/** The line from device to host: as fast as its baud rate, with a small buffer before it and the host's behind it. */
export interface Wire {
  /**
   * Sends a line that may be dropped when there is no room.
   * @returns false when it was dropped, whole
   */
  offer(line: Uint8Array, time_s: number): boolean;
  /** Sends a line that waits for room. */
  send(line: Uint8Array, time_s: number): void;
  /** Bytes that are no line: a boot loader's, or half a line. */
  sendRaw(bytes: Uint8Array): void;
  /** Takes what has arrived, at most what fits into `into`; returns how many bytes. */
  receive(into: Uint8Array): number;
  readonly arrived: number;
  /** Forgets what has arrived. */
  flush(): void;
  baudRate: number;
  /** Faults: lines still to lose, whether to damage the next, until when nothing arrives. */
  loseLines: number;
  damageNext: boolean;
  silentUntil_s: number;
}

const deviceBuffer_bytes = 512;
/** What an operating system keeps for a reader that does not read; from memory. */
const hostBuffer_bytes = 65_536;

/** A wire with nothing on it. A start bit and a stop bit make ten bits a byte. */
export function wire(baudRate: number): Wire {
  const arrived = new Uint8Array(hostBuffer_bytes);
  let length = 0;
  let queued_bytes = 0;
  let queuedAt_s = 0;

  function drain(time_s: number) {
    queued_bytes = Math.max(0, queued_bytes - ((time_s - queuedAt_s) * line.baudRate) / 10);
    queuedAt_s = time_s;
  }

  function deliver(bytes: Uint8Array) {
    const fitting = bytes.subarray(0, hostBuffer_bytes - length);
    arrived.set(fitting, length);
    length += fitting.length;
  }

  function travel(bytes: Uint8Array, time_s: number) {
    if (time_s < line.silentUntil_s) return;
    if (line.loseLines > 0) {
      line.loseLines--;
      return;
    }
    if (line.damageNext) {
      line.damageNext = false;
      const damaged = bytes.slice();
      const middle = damaged.length >> 1;
      damaged[middle] = damaged[middle]! ^ 0x02;
      deliver(damaged);
      return;
    }
    deliver(bytes);
  }

  const line: Wire = {
    baudRate,
    loseLines: 0,
    damageNext: false,
    silentUntil_s: Number.NEGATIVE_INFINITY,
    get arrived() {
      return length;
    },
    offer(bytes, time_s) {
      drain(time_s);
      if (queued_bytes + bytes.length > deviceBuffer_bytes) return false;
      queued_bytes += bytes.length;
      travel(bytes, time_s);
      return true;
    },
    send(bytes, time_s) {
      drain(time_s);
      queued_bytes += bytes.length;
      travel(bytes, time_s);
    },
    sendRaw: deliver,
    receive(into) {
      const taken = Math.min(length, into.length);
      into.set(arrived.subarray(0, taken));
      arrived.copyWithin(0, taken, length);
      length -= taken;
      return taken;
    },
    flush() {
      length = 0;
    },
  };
  return line;
}
