/** What keys a person may press while a recording runs. */
export interface RecordingKeys {
  /** Aborts when the person stops the recording by a key. */
  readonly stop: AbortSignal;
  /** True once for each time the next step was asked for. */
  takeNext(): boolean;
  /** Gives the terminal back. */
  end(): void;
}

const CTRL_C = '\u0003';
const ENTER = ['\r', '\n'];

/**
 * Listens to the keyboard while a recording runs: any key stops it, so that nobody has to find the right one. Where a
 * person is led through steps by hand, Enter goes on to the next instead. Without a terminal nothing is heard.
 * @param nextByEnter whether Enter asks for the next step
 */
export function recordingKeys(nextByEnter: boolean, input: NodeJS.ReadStream = process.stdin): RecordingKeys {
  const stop = new AbortController();
  let next = 0;
  const isTerminal = input.isTTY === true;
  const press = (keys: Buffer) => {
    const text = keys.toString('latin1');
    // The terminal no longer turns Ctrl-C into an interruption by itself.
    if (text.includes(CTRL_C)) process.emit('SIGINT');
    else if (nextByEnter && ENTER.includes(text)) next++;
    else stop.abort();
  };
  const gone = () => stop.abort();
  if (isTerminal) {
    input.setRawMode(true);
    input.on('data', press).on('end', gone).resume();
  }
  return {
    stop: stop.signal,
    takeNext() {
      if (next === 0) return false;
      next--;
      return true;
    },
    end() {
      if (!isTerminal) return;
      input.off('data', press).off('end', gone).pause();
      input.setRawMode(false);
    },
  };
}
