/**
 * A device that sends as fast as it is read, on standard input and output, for socat to put behind a pseudo-terminal.
 * It makes its lines before it says a word, so that making them takes no time from whoever reads.
 *
 * Arguments, as one JSON text: lines (samples, force and position in turn, 800 a second of its own clock), atOnce (begins
 * without being asked, for a reader that asks nothing), ready (a file it makes when its lines are made). Every sample's counts follow from its number, see sampleCounts.
 */
import { writeFileSync } from 'node:fs';
import { decodeHostLine, encodeDeviceLine, LineSplitter } from '../../dist/firmware-protocol/index.js';

/** @typedef {import('../../firmware-protocol/index.js').DeviceFrame} DeviceFrame */

/** @type {{ lines: number, atOnce: boolean, ready: string }} */
const { lines, atOnce, ready } = JSON.parse(/** @type {string} */ (process.argv[2]));

/** @param {number} n @returns {number} */
const sampleCounts = (n) => ((n * 2_654_435_761) % 2 ** 24) - 2 ** 23;

const START_US = 4_000_000_000;
const PAIR_US = 2500;
/** Room for the identity and the answers to ID, STOP and START, whatever their number. */
const FIRST_SAMPLE = 1000;
const CHUNK_LINES = 2000;

/** @type {Uint8Array[]} */
const chunks = [];
for (let from = 0; from < lines; from += CHUNK_LINES) {
  /** @type {Uint8Array[]} */
  const parts = [];
  for (let n = from; n < Math.min(lines, from + CHUNK_LINES); n++)
    parts.push(
      encodeDeviceLine({
        type: 'sample',
        kind: n % 2 === 0 ? 'force' : 'position',
        sequence: (FIRST_SAMPLE + n) & 0xffff,
        deviceTime_us: (START_US + PAIR_US * (n >> 1)) % 2 ** 32,
        counts: sampleCounts(n),
      }),
    );
  chunks.push(Buffer.concat(parts));
}

writeFileSync(ready, '');

let sequence = 0;
/** @param {DeviceFrame} frame */
function say(frame) {
  process.stdout.write(encodeDeviceLine({ ...frame, sequence: sequence++ & 0xffff }));
}

/** Waits for whoever reads, without taking a processor's time from it. */
async function flood() {
  for (const chunk of chunks)
    if (!process.stdout.write(chunk)) await new Promise((resume) => process.stdout.once('drain', resume));
  sequence = FIRST_SAMPLE + lines;
}
process.stdout.on('error', () => process.exit(0));

/** @param {'force' | 'position'} kind @returns {DeviceFrame} */
const channel = (kind) => ({
  type: 'channel',
  sequence: 0,
  kind,
  unit: 'counts',
  counts_min: -(2 ** 31),
  counts_max: 2 ** 31 - 1,
  rate_mHz: 400_000,
  delay_us: 0,
  kernel: 'none',
});

function identify() {
  const about = { protocolVersion: 1, firmware: 'flood 1', rigName: 'flood', channelCount: 2 };
  say({ type: 'identity', sequence: 0, ...about, drive: 'none' });
  say(channel('force'));
  say(channel('position'));
}

if (atOnce) void flood();
const splitter = new LineSplitter();
process.stdin.on('data', (bytes) => {
  splitter.push(bytes, (line, start, end) => {
    const command = decodeHostLine(line, start, end);
    if (command.type === 'skipped' || command.type === 'beat') return;
    if (command.type === 'identify') identify();
    // A host stops what may be running before it counts; the answers to STOP and START come just before the samples.
    if (command.type === 'stop' && sequence < FIRST_SAMPLE) sequence = FIRST_SAMPLE - 2;
    say({ type: 'reply', sequence: 0, command: command.type, tag: command.tag, fields: [] });
    if (command.type === 'start') void flood();
  });
});
process.stdin.on('end', () => process.exit(0));
