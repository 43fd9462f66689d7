import type { FastifyInstance } from 'fastify';
import type { Logbook } from '../../../daq/index.js';
import type { ApiRig, RigsBody } from '../api.js';
import { checkOfRig } from '../check-of-rig.js';

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
  const profile = logbook.rigProfile(id)?.profile ?? null;
  return {
    name,
    calibration: calibration ? { version: calibration.version, madeAt: calibration.createdAt } : null,
    hasDrive: profile && profile.drive !== null,
    check: checkOfRig(logbook, id),
    spreads: logbook.remountSpreadOf(id),
  };
}
