import { forceFrom, lengthsFrom, openLogbook } from '../../daq/index.js';

/** Readings of known values up and down, with a scatter that repeats. */
function readings(values: readonly number[], runs: number, zero: number, perUnit: number, scatter: number) {
  const once = [0, ...values, ...values.slice(0, -1).reverse(), 0];
  return Array.from({ length: runs }, (_, run) =>
    once.map((value, i) => ({
      series: run + 1,
      value,
      direction: i <= values.length ? ('up' as const) : ('down' as const),
      reading_counts:
        zero + perUnit * value + scatter * Math.sin(7 * i + 3 * run) + (i > values.length ? scatter : 0),
      temperature_degC: null,
    })),
  ).flat();
}

/** A rig that was set up, calibrated twice and checked over twelve sittings, with one recording of a shock. All invented. */
export function makeCaredForLogbook(path: string): void {
  let day = 0;
  const logbook = openLogbook(path, { now: () => new Date(Date.UTC(2026, 9, 1 + day, 18)).toISOString() });
  const rigId = logbook.rigNamed('invented rig');
  logbook.addRigProfile(
    rigId,
    {
      forceSign: 1,
      positionSign: -1,
      fullExtension_counts: 4210,
      forceZero_counts: 41_200,
      cellCapacity_N: 98,
      forceLimit_N: 58.8,
      stroke_m: 0.024,
      drive: { speedMin_rev_per_s: 0.1, speedMax_rev_per_s: 3 },
      temperature: 'manual',
      gravity_m_per_s2: 9.8118,
    },
    'first set-up',
  );
  const force = () =>
    forceFrom(readings([1, 2, 5, 8, 10], 3, 41_200, 21_900, 40), { referenceUncertainty: 1e-3 });
  const enter = ({ part, evidence }: ReturnType<typeof force | typeof lengthsFrom>, note: string) =>
    logbook.addCalibrationPart(rigId, part, evidence, note);
  enter(force(), 'hobby weights');
  enter(
    lengthsFrom(readings([0.005, 0.01, 0.015, 0.02], 2, 4210, -272_800, 4), { lengthUncertainty_m: 2e-5 }),
    'drill shanks',
  );
  const { id: shockId } = logbook.createShock({ name: 'rig care' });
  const { id: buildId } = logbook.createBuild({ shockId, name: 'check standard' });
  logbook.setCheckStandard(rigId, buildId);
  for (day = 1; day <= 12; day++) {
    const id = logbook.startRecording({
      buildId,
      rigId,
      calibrationId: logbook.calibrationInForce(rigId)!.id,
      procedure: { name: 'slow-sweep', steps: [], duration_s: 1, happened: [], events: [] },
      startedAt: new Date(Date.UTC(2026, 9, 1 + day, 18)).toISOString(),
      identity: null,
      simulated: false,
    });
    logbook.finishRecording(id, { state: 'complete' });
    const off = Math.sin(2.4 * day);
    logbook.enterResults(id, logbook.calibrationInForce(rigId)!.id, [
      { quantity: 'rate_N_per_mm', value: 0.64 * (1 + 0.001 * off), standardError: 2e-4 },
      {
        quantity: 'friction_N',
        value: 0.86 * (1 + 0.01 * off) + (day === 12 ? 0.06 : 0),
        standardError: 2e-3,
      },
    ]);
  }
  enter(force(), 'after a new hook');
  logbook.close();
}
