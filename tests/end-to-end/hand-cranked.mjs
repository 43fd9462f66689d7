/**
 * A rig without a drive, with firmware of its own: plain lines of time, force and position on standard output, for socat
 * to put behind a pseudo-terminal. A hand turns its crank at the speed that the file `hand` in its folder says, rev/s.
 *
 * Arguments: folder, device seconds per second.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

const [folder, speedUp] = [process.argv[2], Number(process.argv[3])];
const RATE_HZ = 200;
const RADIUS_M = 0.012;
const [COUNTS_PER_N, COUNTS_PER_M] = [20_000, 270_000];
const [DRAG_N, RATE_N_PER_M] = [0.6, 210];

process.stdout.on('error', () => process.exit(0));
process.stdin.on('end', () => process.exit(0)).resume();
const origin_ms = performance.now();
let sent = 0;
let angle = 0;
setInterval(() => {
  const due = Math.floor(((performance.now() - origin_ms) / 1000) * speedUp * RATE_HZ);
  const speed_rev_per_s = Number(readFileSync(join(folder, 'hand'), 'utf8'));
  let lines = '';
  for (; sent < due; sent++) {
    angle += (2 * Math.PI * speed_rev_per_s) / RATE_HZ;
    const position_m = RADIUS_M * (1 - Math.cos(angle));
    const force_N =
      RATE_N_PER_M * position_m + (speed_rev_per_s > 0 ? DRAG_N * Math.sign(Math.sin(angle)) : 0);
    const counts = [COUNTS_PER_N * force_N, COUNTS_PER_M * position_m].map(Math.round);
    lines += `${Math.round((sent * 1e6) / RATE_HZ)},${counts.join(',')}\n`;
  }
  if (lines) process.stdout.write(lines);
}, 10);
