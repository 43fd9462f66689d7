import type { ReportBuild, ReportFacts, ReportLook, ReportRig } from '../../report/index.js';
import type { RigsBody, StateBody } from '../../server/api.js';
import { findingSentence, partLabel, partText } from '../../wording/index.js';
import type { PicturedBuild } from '../charts/pictured-build.js';
import { dashArrays, identityOf } from '../identity/identity.js';
import { markerPaths } from '../identity/markers.js';
import { buildOf, logbook, ordinals } from '../logbook.js';
import { compared, pictured } from '../together/pictured.js';
import { type ChosenBuild, chosen, referenceId, view } from '../together/selection.js';
import { units } from '../units.js';

/** A sheet is paper, whatever the page's colours are. */
const paper = { ink: '#000000', ground: '#ffffff' };
/** Dots of one build in a picture that has to be sent. */
const mostPoints = 400;

/** What the server told about this program and its rigs. */
export interface Rigging {
  readonly state: StateBody;
  readonly rigs: RigsBody;
}

/** The comparison as the page has it now, as the facts of a report. */
export function factsOfPage({ state, rigs }: Rigging, madeAt: string): ReportFacts {
  const builds = chosen.value.flatMap((entry) => {
    const picture = pictured.value.find(({ id }) => id === entry.build.id);
    return picture ? [reportBuild(entry, picture)] : [];
  });
  const used = new Set(builds.flatMap(({ recordings }) => recordings.map(({ rig }) => rig)));
  return {
    madeAt: dayHere(madeAt),
    version: state.version,
    methodVersion: state.methodVersion,
    units: units.value,
    kind: view.value.kind,
    at_degC: view.value.at_degC,
    answer: compared.value,
    builds,
    rigs: rigs.rigs.filter(({ name }) => [...used].some((rig) => rig.startsWith(name))).map(reportRig),
  };
}

function reportBuild(
  entry: ChosenBuild,
  { total, remounts, drag_N, breakaway_N }: PicturedBuild,
): ReportBuild {
  const { build, included } = entry;
  return {
    name: build.name,
    shock: logbook.value?.shocks.find(({ id }) => id === build.shockId)?.name ?? '',
    parent: build.parentId === null ? null : (buildOf(build.parentId)?.name ?? null),
    change: build.change,
    parts: build.parts.map(
      ({ part, properties }) => `${partLabel(part)}: ${partText(part, properties, units.value)}`,
    ),
    look: lookOnPaper(build.id),
    curve: total,
    points: thinned(remounts),
    drag_N,
    breakaway_N,
    recordings: included.map(({ id, remount, startedAt, procedure, rig, simulated }) => ({
      remount,
      startedAt: dayHere(startedAt),
      procedure,
      rig,
      simulated,
      temperature_degC:
        entry.remounts.find(({ recording }) => recording.id === id)?.analysis.temperature_degC ?? null,
    })),
    warnings: warningsOf(entry),
  };
}

function reportRig({ name, calibration, check }: RigsBody['rigs'][number]): ReportRig {
  return {
    name,
    calibration: calibration && { ...calibration, madeAt: dayHere(calibration.madeAt) },
    check: check && { ...check, measuredAt: check.measuredAt && dayHere(check.measuredAt) },
  };
}

/** The day of a moment in the time of the place, as ISO 8601. */
function dayHere(iso: string): string {
  const moment = new Date(iso);
  return new Date(moment.getTime() - moment.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

function lookOnPaper(id: number): ReportLook {
  const { colour, dash, marker } = identityOf(ordinals.value.get(id) ?? 0, paper, id === referenceId.value);
  return { colour, dashes: dashArrays[dash], marker: markerPaths[marker] };
}

function thinned(remounts: PicturedBuild['remounts']): ReportBuild['points'] {
  const points = remounts.flatMap(({ behind: { velocity_m_per_s, force_N } }) =>
    velocity_m_per_s.map((velocity, i) => ({ velocity_m_per_s: velocity, force_N: force_N[i]! })),
  );
  const every = Math.max(1, Math.ceil(points.length / mostPoints));
  return points.filter((_, i) => i % every === 0);
}

/** Each warning once, with the units that numbers are shown in. */
function warningsOf({ remounts }: ChosenBuild): string[] {
  const warnings = remounts.flatMap(({ analysis }) =>
    analysis.findings.filter(({ severity }) => severity === 'warning'),
  );
  const byCode = new Map(warnings.map((finding) => [finding.code, findingSentence(finding, units.value)]));
  return [...byCode.values()];
}
