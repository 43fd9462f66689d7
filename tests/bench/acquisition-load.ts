import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ReadlineParser } from '@serialport/parser-readline';
import { SerialPort } from 'serialport';
import { openRigLink } from '../../daq/link/rig-link.js';
import { openLogbook } from '../../daq/logbook/open-logbook.js';
import { capture } from '../../daq/procedures.js';
import { recordBuild } from '../../daq/recording/record-build.js';
import { floodDevice, floodDuration_s } from '../end-to-end/flood-device.js';
import type { Figures } from './benchmark.js';

export const name = 'acquisition-load';
export const what =
  'lines through a pseudo-terminal, link, checks, clock and logbook on disk, against the bare pipe of serialport and its line parser';

const LINES = 500_000;
const RUNS = 3;

export async function run(print: (line: string) => void): Promise<Figures> {
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-load-'));
  try {
    let bare_s = Number.POSITIVE_INFINITY;
    let recorded_s = Number.POSITIVE_INFINITY;
    for (let n = 0; n < RUNS; n++) {
      bare_s = Math.min(bare_s, await bare(folder));
      recorded_s = Math.min(recorded_s, await recorded(folder, join(folder, `${n}.db`)));
    }
    const ratio = bare_s / recorded_s;
    print(
      `${Math.round(LINES / recorded_s)} lines/s checked and recorded, ${Math.round(LINES / bare_s)} through the bare pipe: ` +
        `${ratio.toFixed(2)} of it (wanted: 0.25)`,
    );
    return {
      'bare pipe, lines per second': LINES / bare_s,
      'checked and recorded, lines per second': LINES / recorded_s,
      ratio,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** @returns seconds from the first line to the last, each as text, which is what the parser makes where nothing is asked */
async function bare(folder: string): Promise<number> {
  const device = await floodDevice(process.cwd(), folder, LINES, true);
  const port = new SerialPort({ path: device.path, baudRate: 250_000 });
  const parser = port.pipe(new ReadlineParser({ delimiter: '\n' }));
  const took_s = await new Promise<number>((resolve, reject) => {
    let lines = 0;
    let from_ms = 0;
    port.on('error', reject);
    parser.on('data', () => {
      if (lines++ === 0) from_ms = performance.now();
      if (lines === LINES) resolve((performance.now() - from_ms) / 1000);
    });
  });
  await new Promise((resolve) => port.close(resolve));
  device.kill();
  await device.ended;
  return took_s;
}

/** @returns seconds from the first sample to the last being in the logbook; fails unless every line is in it */
async function recorded(folder: string, path: string): Promise<number> {
  const device = await floodDevice(process.cwd(), folder, LINES, false);
  const logbook = openLogbook(path);
  const shock = logbook.createShock({ name: 'shock' });
  const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: 'build' });
  logbook.addCalibration(logbook.rigNamed('flood'), {
    force: { newton_per_count: 1e-5, zero_counts: 0 },
    position: { metre_per_count: 1e-9, zero_counts: 0 },
  });
  const link = await openRigLink({ path: device.path });
  let from_ms = 0;
  const outcome = await recordBuild({
    link,
    logbook,
    buildId,
    procedure: capture('unknown', floodDuration_s(LINES)),
    onProgress: () => {
      from_ms ||= performance.now();
    },
  });
  const took_s = (performance.now() - from_ms) / 1000;
  await link.close();
  device.kill();
  await device.ended;
  logbook.close();
  const { samples, statistics, failure } = outcome;
  if (failure) throw failure;
  if (samples.force + samples.position !== LINES || statistics.linesMissing > 0)
    throw new Error(
      `${samples.force + samples.position} of ${LINES} recorded, ${statistics.linesMissing} missing`,
    );
  return took_s;
}
