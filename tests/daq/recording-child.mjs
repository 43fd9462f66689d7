/*
 * Records for ever, to be killed: node recording-child.mjs LOGBOOK. The link is a made-up one that sends 80 force and
 * 200 position samples per second of its own time, as fast as it can. Prints that time, in ms, as it goes.
 */
import { writeSync } from 'node:fs';
import { capture, openLogbook, realHostClock, recordBuild } from '../../dist/daq/index.js';

/** @typedef {import('../../daq/index.js').RigLink} RigLink */
/** @typedef {import('../../daq/index.js').ChannelIdentity} ChannelIdentity */

/** @param {'force' | 'position'} kind @returns {ChannelIdentity} */
const channel = (kind) => ({
  kind,
  unit: 'counts',
  counts_min: -1000,
  counts_max: 1000,
  rate_mHz: kind === 'force' ? 80_000 : 200_000,
  delay_us: 0,
  kernel: 'none',
});

/** @type {Set<import('../../daq/index.js').LinkListener>} */
const listeners = new Set();
let device_ms = 0;

/** @param {'force' | 'position'} kind */
function send(kind) {
  for (const { sample } of listeners)
    sample?.({ type: 'sample', kind, sequence: 0, deviceTime_us: device_ms * 1000, counts: device_ms });
}

function tick() {
  device_ms += 2.5;
  if (device_ms % 12.5 === 0) send('force');
  if (device_ms % 5 === 0) send('position');
  if (device_ms % 100 === 0) writeSync(1, `${device_ms}\n`);
  setImmediate(tick);
}

const never = () => Promise.reject(new Error('a rig without a drive is asked to drive'));
const statistics = () => ({
  linesDecoded: 0,
  linesMissing: 0,
  linesDuplicated: 0,
  linesSkipped: {},
  linesDroppedByDevice: 0,
  bytesFlooded: 0,
});

/** @type {RigLink} */
const link = {
  path: 'made up',
  clock: realHostClock,
  baudRate: null,
  identity: () => ({
    protocolVersion: 1,
    firmware: 'none',
    rigName: 'made up',
    channels: [channel('force'), channel('position')],
    drive: null,
  }),
  listen(listener) {
    listeners.add(listener);
    return () => listeners.delete(listener);
  },
  startSampling: async () => tick(),
  stopSampling: async () => statistics(),
  statistics,
  setRate: never,
  tare: never,
  setDriveSpeed: never,
  haltDrive: never,
  isDriving: () => false,
  close: async () => {},
};

const logbook = openLogbook(/** @type {string} */ (process.argv[2]));
const shock = logbook.createShock({ name: 'shock' });
const build = logbook.createBuild({ shockId: shock.id, name: 'build' });
logbook.addCalibration(logbook.rigNamed('made up'), {
  force: { newton_per_count: 1, zero_counts: 0 },
  position: { metre_per_count: 1, zero_counts: 0 },
});
await recordBuild({ link, logbook, buildId: build.id, procedure: capture('unknown', null) });
