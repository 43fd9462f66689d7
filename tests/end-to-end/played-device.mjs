/**
 * Plays the simulated rig on standard input and output, for a program such as socat to put behind a pseudo-terminal.
 * Runs in a process of its own, so that whoever opens the terminal shares nothing with it but bytes.
 *
 * Arguments, as one JSON text: seed, build, mounting, speedUp (device seconds per second), folder. In the folder it
 * leaves `truth.json` (what it plays) and, as it goes on, `sent.json` (device time of the last sample that left it).
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { simulatedRig } from '../../dist/daq/simulated-rig/index.js';
import { decodeDeviceLine, encodeHostLine, LineSplitter } from '../../dist/firmware-protocol/index.js';

const { seed, build, mounting, speedUp, folder } = JSON.parse(process.argv[2]);

/** A heartbeat holds the drive for a second of the host's time; the device counts in its own, which runs faster here. */
const HOST_LEASE_MS = 1000;
const DEVICE_BEAT_MS = 300;
const UNUSED_TAG = 255;
const LONGEST_WAIT_MS = 50;

const rig = simulatedRig({ seed, build, pace: 'simulated', opening: 'boot-loader' });
rig.mount(build, mounting);
const { drag, breakaway_N } = rig.truth();
writeFileSync(join(folder, 'truth.json'), JSON.stringify({ drag, breakaway_N }));

const port = await rig.binding.open({ path: rig.path, baudRate: 250_000 });
let hostHeardAt_ms = Number.NEGATIVE_INFINITY;
process.stdin.on('data', (bytes) => {
  hostHeardAt_ms = performance.now();
  port.write(bytes);
});
process.stdin.on('end', () => process.exit(0));
process.stdout.on('error', () => process.exit(0));

const splitter = new LineSplitter();
const buffer = Buffer.alloc(4096);
let origin_ms = 0;
let beatenAt_ms = 0;
for (;;) {
  const { bytesRead } = await port.read(buffer, 0, buffer.length);
  const sent = Buffer.from(buffer.subarray(0, bytesRead));
  if (!process.stdout.write(sent)) await new Promise((r) => process.stdout.once('drain', r));
  splitter.push(sent, noteSample);
  stretchHeartbeats();
  await keepPace();
}

/** Device time follows the wall's, times the speed; what a pause of either side cost is not made up for. */
async function keepPace() {
  const now_ms = performance.now();
  const due_ms = origin_ms + rig.clock.now_ms() / speedUp;
  if (Math.abs(due_ms - now_ms) > LONGEST_WAIT_MS) origin_ms += now_ms - due_ms;
  else if (due_ms > now_ms + 1) await pause(due_ms - now_ms);
}

function stretchHeartbeats() {
  const now_ms = rig.clock.now_ms();
  if (rig.commanded_rev_per_s === 0 || now_ms - beatenAt_ms < DEVICE_BEAT_MS) return;
  if (performance.now() - hostHeardAt_ms > HOST_LEASE_MS) return;
  beatenAt_ms = now_ms;
  port.write(Buffer.from(encodeHostLine({ type: 'beat', tag: UNUSED_TAG })));
}

/** @type {(bytes: Uint8Array, start: number, end: number) => void} */
function noteSample(bytes, start, end) {
  const frame = decodeDeviceLine(bytes, start, end);
  if (frame.type === 'sample' && frame.kind === 'force')
    writeFileSync(join(folder, 'sent.json'), JSON.stringify({ deviceTime_us: frame.deviceTime_us }));
}
