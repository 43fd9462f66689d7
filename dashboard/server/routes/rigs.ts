import type { FastifyInstance } from 'fastify';
import type { Logbook } from '../../../daq/index.js';
import { type CheckMeasurement, checkAnswer } from '../../answers/index.js';
import type { ApiRig, RigsBody } from '../api.js';

/** What a check standard is judged by. */
const checkedQuantities = ['rate_N_per_mm', 'friction_N'] as const;

/** GET /api/rigs: calibration, check standard and spread of every rig of the logbook, the one used last first. */
export function rigRoutes(server: FastifyInstance, logbook: Logbook): void {
  server.get('/api/rigs', (): RigsBody => {
    const last = logbook.listRecordings().findLast(({ rigId }) => rigId !== null)?.rigId;
    const rigs = logbook.listRigs();
    return {
      rigs: [...rigs.filter(({ id }) => id === last), ...rigs.filter(({ id }) => id !== last)].map((rig) =>
        rigState(logbook, rig),
      ),
    };
  });
}

function rigState(logbook: Logbook, { id, name }: ReturnType<Logbook['listRigs']>[number]): ApiRig {
  const calibration = logbook.calibrationInForce(id);
  const standard = logbook.checkStandardOf(id);
  return {
    name,
    calibration: calibration ? { version: calibration.version, madeAt: calibration.createdAt } : null,
    check: standard ? { standard: standard.buildName, ...checked(logbook, id) } : null,
    spreads: logbook.remountSpreadOf(id),
  };
}

function checked(logbook: Logbook, id: Parameters<Logbook['checkHistory']>[0]) {
  const histories = checkedQuantities.map(
    (quantity) => [quantity, logbook.checkHistory(id, quantity)] as const,
  );
  const measuredAt = histories[0]![1].at(-1)?.startedAt ?? null;
  if (histories.some(([, history]) => history.length === 0)) return { answer: null, measuredAt };
  const measurements = histories.map(([quantity, history]): [string, CheckMeasurement[]] => [
    quantity,
    history.map(({ recordingId, startedAt, value, standardError }) => ({
      recordingId,
      time_s: Date.parse(startedAt) / 1000,
      value,
      standardError,
    })),
  ]);
  return { answer: checkAnswer(Object.fromEntries(measurements)), measuredAt };
}
