import type { FastifyInstance } from 'fastify';
import type { Logbook } from '../../../daq/index.js';
import { checkAnswer, checkedQuantities } from '../../answers/index.js';
import type { ApiRig, RigsBody } from '../api.js';

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
  const isMeasured = histories.every(([, history]) => history.length > 0);
  return { answer: isMeasured ? checkAnswer(Object.fromEntries(histories)) : null, measuredAt };
}
