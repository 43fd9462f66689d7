import { closeSync, openSync, writeSync } from 'node:fs';
import { randomFrom } from '../analysis/played/random.js';

const speeds_rev_per_s = [0.31, 0.73, 1.43, 2.19, 3.07];
const holdEach_s = 8;
const radius_m = 0.01;
const presliding_m = 6e-5;

export interface LongRecording {
  readonly samples: number;
  readonly rate_Hz: number;
  /** Running means, each one conversion long, that the converter takes: 0 for none, 4 for sinc⁴. */
  readonly averagings: number;
  readonly seed: number;
}

/**
 * Writes an invented recording of any length as CSV, row by row: a crank that goes round a ladder of five speeds,
 * drag with a presliding length, damping, a gas force and noise. Sizes grow, the kind of motion does not.
 */
export function writeLongRecording(
  path: string,
  { samples, rate_Hz, averagings, seed }: LongRecording,
): void {
  const random = randomFrom(seed);
  const steps = averagings > 0 ? 32 : 4;
  const step_s = 1 / (rate_Hz * steps);
  const average = cascade(averagings, steps);
  const file = openSync(path, 'w');
  let text = 'time_s,displacement_mm,force_N\n';
  let angle = 0.3;
  let speed = 0;
  let drag_N = 0;
  let before_m = radius_m * (1 - Math.cos(angle));
  for (let i = 0; i < samples; i++) {
    const wanted = speeds_rev_per_s[Math.floor(i / rate_Hz / holdEach_s) % speeds_rev_per_s.length]!;
    let felt_N = 0;
    for (let k = 0; k < steps; k++) {
      speed += Math.max(-10 * step_s, Math.min(10 * step_s, wanted - speed));
      angle += 2 * Math.PI * speed * step_s;
      const position_m = radius_m * (1 - Math.cos(angle));
      const moved_m = position_m - before_m;
      before_m = position_m;
      const level_N = 0.7 * Math.sign(moved_m);
      drag_N = level_N + (drag_N - level_N) * Math.exp(-Math.abs(moved_m) / presliding_m);
      const velocity_m_per_s = moved_m / step_s;
      const damping_N = velocity_m_per_s * (22 + 12 * Math.abs(velocity_m_per_s));
      felt_N = average(1.1 + 40 * position_m + drag_N + damping_N);
    }
    const force_N = felt_N + 8e-3 * random.normal();
    const position_mm = 1e3 * before_m + 4e-3 * random.normal();
    text += `${((i + 1) / rate_Hz).toFixed(6)},${position_mm.toFixed(4)},${force_N.toFixed(5)}\n`;
    if (text.length > 1e6 || i === samples - 1) {
      writeSync(file, text);
      text = '';
    }
  }
  closeSync(file);
}

/** Running means in a row, each over `width` values. */
function cascade(averagings: number, width: number): (value: number) => number {
  const stages = Array.from({ length: averagings }, () => ({ ring: new Float64Array(width), sum: 0 }));
  let at = 0;
  return (value) => {
    let passed = value;
    for (const stage of stages) {
      stage.sum += passed - stage.ring[at]!;
      stage.ring[at] = passed;
      passed = stage.sum / width;
    }
    at = (at + 1) % width;
    return passed;
  };
}
