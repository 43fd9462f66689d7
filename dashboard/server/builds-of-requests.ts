import type { Build, BuildId, Logbook, Properties } from '../../daq/index.js';
import { requestError } from './errors.js';

/**
 * A build that a request names.
 * @param where the part of the request that names it
 * @throws requestError 'unknown-build'
 */
export function knownBuild(logbook: Logbook, id: number, where: string): Build {
  const build = logbook.listBuilds().find((one) => one.id === (id as BuildId));
  if (build) return build;
  throw requestError(404, {
    code: 'unknown-build',
    found: `no build ${id}`,
    wanted: 'a build of this logbook that is not in the bin',
    where,
  });
}

/** A build as a request asks for it: of its parent's shock, or the first of one with that label. */
export interface AskedBuild {
  readonly shock: string;
  readonly parentId: number | null;
  readonly name: string;
  readonly change: string;
}

/**
 * The parent of a build that is asked for; null for a first build, whose shock then has a label.
 * @param where the part of the request that describes it
 * @throws requestError 'unknown-build', 'bad-request'
 */
export function requireOrigin(
  logbook: Logbook,
  { parentId, shock }: AskedBuild,
  where: string,
): Build | null {
  if (parentId !== null) return knownBuild(logbook, parentId, `${where}.parentId`);
  if (shock !== '') return null;
  throw requestError(400, {
    code: 'bad-request',
    found: 'a first build of a shock without a name',
    wanted: 'a label for the shock',
    where: `${where}.shock`,
  });
}

/** Enters a build, with its shock where that is new. @throws as `requireOrigin` */
export function enterBuild(
  logbook: Logbook,
  asked: AskedBuild,
  where: string,
  properties: Properties = {},
): BuildId {
  const parent = requireOrigin(logbook, asked, where);
  const { shock, name, change } = asked;
  return logbook.inOneGo(() => {
    const shockId = parent?.shockId ?? (logbook.findShock(shock) ?? logbook.createShock({ name: shock })).id;
    return logbook.createBuild({ shockId, name, parentBuildId: parent?.id ?? null, change, properties }).id;
  });
}
