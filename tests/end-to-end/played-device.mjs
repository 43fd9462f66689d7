/**
 * Plays the simulated rig on standard input and output, for a program such as socat to put behind a pseudo-terminal.
 * Runs in a process of its own, so that whoever opens the terminal shares nothing with it but bytes.
 *
 * Arguments, as one JSON text: seed, build or piece, mounting, speedUp (device seconds per second), folder. It does at
 * the rig what a file `hand.json` in the folder says (`hang` kg, `holdAt` m, `mount` a test piece), and takes the file
 * away then. In the folder it leaves `truth.json` (what it plays), as it goes on `sent.json` (device time of the last sample that left it), and at the end
 * `hung-up.json` (the crank speed that was asked for then).
 */
import { readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { simulatedRig, testPieces } from '../../dist/daq/simulated-rig/index.js';
import { decodeDeviceLine, encodeHostLine, LineSplitter } from '../../dist/firmware-protocol/index.js';

const { seed, build, piece, mounting, speedUp, folder } = JSON.parse(process.argv[2]);
/** @param {string} name */
const pieceNamed = (name) => testPieces[/** @type {keyof typeof testPieces} */ (name)];
const played = piece ? pieceNamed(piece) : build;

/** A heartbeat holds the drive for a second of the host's time; the device counts in its own, which runs faster here. */
const HOST_LEASE_MS = 1000;
const DEVICE_BEAT_MS = 300;
const UNUSED_TAG = 255;
const LONGEST_WAIT_MS = 50;

const rig = simulatedRig({ seed, build: played, pace: 'simulated', opening: 'boot-loader' });
rig.mount(played, mounting);
const { drag, breakaway_N } = rig.truth();
writeFileSync(join(folder, 'truth.json'), JSON.stringify({ drag, breakaway_N }));

const port = await rig.binding.open({ path: rig.path, baudRate: 250_000 });
let hostHeardAt_ms = Number.NEGATIVE_INFINITY;
process.stdin.on('data', (bytes) => {
  hostHeardAt_ms = performance.now();
  port.write(bytes);
});
process.stdin.on('end', hungUp);
process.stdout.on('error', hungUp);
process.on('SIGTERM', hungUp);

// Hands are there while the rig is silent, too.
setInterval(useHands, 20);

const splitter = new LineSplitter();
const buffer = Buffer.alloc(4096);
let origin_ms = 0;
let beatenAt_ms = 0;
for (;;) {
  const { bytesRead } = await port.read(buffer, 0, buffer.length);
  const sent = Buffer.from(buffer.subarray(0, bytesRead));
  if (!process.stdout.write(sent)) await new Promise((r) => process.stdout.once('drain', r));
  noteLastSample(sent);
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

function useHands() {
  const file = join(folder, 'hand.json');
  let asked;
  try {
    asked = JSON.parse(readFileSync(file, 'utf8'));
  } catch {
    return;
  }
  if (asked.mount) rig.mount(pieceNamed(asked.mount), 1);
  if (asked.hang !== undefined) rig.hang(asked.hang);
  if (asked.holdAt !== undefined) rig.holdAt(asked.holdAt);
  rmSync(file);
}

/** The other side is gone; whether it left the drive running is in `hung-up.json`. */
function hungUp() {
  const { commanded_rev_per_s } = rig;
  writeFileSync(join(folder, 'hung-up.json'), JSON.stringify({ commanded_rev_per_s }));
  process.exit(0);
}

/**
 * Leaves the device time of the last force sample sent, in a file that is whole whenever it is read.
 * @param {Buffer} sent
 */
function noteLastSample(sent) {
  let last_us = -1;
  splitter.push(sent, (bytes, start, end) => {
    const frame = decodeDeviceLine(bytes, start, end);
    if (frame.type === 'sample' && frame.kind === 'force') last_us = frame.deviceTime_us;
  });
  if (last_us < 0) return;
  const file = join(folder, 'sent.json');
  writeFileSync(`${file}.new`, JSON.stringify({ deviceTime_us: last_us }));
  renameSync(`${file}.new`, file);
}
