import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyzeRecording, makeTrace } from '../../analysis/index.js';
import { capture, openLogbook, readTraceCsv } from '../../daq/index.js';
import type { AnalysisBody } from '../../dashboard/server/api.js';
import { createServer } from '../../dashboard/server/create-server.js';
import { listen } from '../../dashboard/server/listen.js';
import { analysisBody, thinPicture } from '../../dashboard/workers/analysis-body.js';
import { answersHere } from '../../dashboard/workers/answer-work.js';
import { tracesOf } from '../../dashboard/workers/traced.js';
import { ladderCsv } from '../dashboard/ladder-csv.js';

export const BUILDS = 12;
export const REMOUNTS = 3;
export const POINTS_PER_BUILD = 5000;

/** The dashboard on a logbook of twelve builds, all analysed already, and beside it a page of the chart library alone. */
export async function overlayServer() {
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-overlay-'));
  const logbook = openLogbook(join(folder, 'logbook.sqlite'));
  const shock = logbook.createShock({ name: 'invented shock' });
  for (let n = 1; n <= BUILDS; n++) {
    const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: `build ${n}` });
    for (let remount = 0; remount < REMOUNTS; remount++)
      logbook.importRecording(
        {
          buildId,
          procedure: { ...capture('speed-ladder', null), happened: [], events: [] },
          startedAt: '2026-01-02T03:04:05.000Z',
          source: 'invented.csv',
        },
        [{ kind: 'force', unit: 'N', times_s: Float64Array.of(0, 1), values: Float64Array.of(0, 1) }],
      );
  }
  const body = await analysedOnce();
  const server = createServer({
    logbook,
    version: 'bench',
    pageFolder: join(process.cwd(), 'dist', 'dashboard', 'web'),
    analyse: async (recordingId) => ofBuild(body, recordingId),
    answer: answersHere(tracesOf(logbook)),
  });
  const library = readFileSync(createRequire(import.meta.url).resolve('plotly.js-dist-min'), 'utf8');
  const files = [
    [
      '/alone',
      'text/html',
      '<!doctype html><link rel="icon" href="data:,"><div id="plot"></div><script src="/library.js"></script><script type="module" src="/alone.js"></script>',
    ],
    ['/library.js', 'text/javascript', library],
    ['/alone.js', 'text/javascript', aloneScript],
  ] as const;
  for (const [path, type, text] of files) server.get(path, (_request, reply) => reply.type(type).send(text));
  const address = await listen(server, 0);
  return {
    address,
    async close() {
      await server.close();
      logbook.close();
      rmSync(folder, { recursive: true });
    },
  };
}

/** What anybody would write to see the same points with the chart library and nothing else. */
const aloneScript = `
const builds = Array.from({ length: ${BUILDS} }, (_, i) => i);
const bodies = await Promise.all(builds.flatMap((b) => Array.from({ length: ${REMOUNTS} }, (_, r) =>
  fetch('/api/recordings/' + (b * ${REMOUNTS} + r + 1) + '/analysis').then((answer) => answer.json()))));
const data = builds.map((b) => {
  const own = bodies.slice(b * ${REMOUNTS}, (b + 1) * ${REMOUNTS});
  return {
    type: 'scatter', mode: 'markers', marker: { size: 3 },
    x: own.flatMap(({ picture }) => picture.points.velocity_m_per_s),
    y: own.flatMap(({ picture }) => picture.points.frictional_N),
  };
});
await window.Plotly.newPlot('plot', data, { width: 1000, height: 440 });
requestAnimationFrame(() => setTimeout(() => { window.drawn_ms = performance.now(); }));
`;

async function analysedOnce(): Promise<Extract<AnalysisBody, { ok: true }>> {
  const csv = ladderCsv({ seed: 1, drag_N: 1, damping_Ns_per_m: 20, duration_s: 21 });
  const { trace } = await readTraceCsv({ name: 'ladder.csv', bytes: new TextEncoder().encode(csv) });
  const body = analysisBody(1, trace);
  const made = makeTrace(trace);
  const outcome = made.ok ? analyzeRecording(made.trace) : made;
  if (!body.ok || !outcome.ok) throw new Error('the invented ladder was not analysed');
  const { length } = outcome.picture.points.time_s;
  const every = Math.floor((REMOUNTS * length) / POINTS_PER_BUILD);
  if (every < 1) throw new Error(`${length} points a remount, too few`);
  const picture = thinPicture(outcome.picture, Math.ceil(length / every));
  return { ...body, picture };
}

/** The same recording, damped a little more with every build. */
function ofBuild(body: Extract<AnalysisBody, { ok: true }>, recordingId: number): AnalysisBody {
  const more = 1 + 0.05 * Math.floor((recordingId - 1) / REMOUNTS) + 0.002 * (recordingId % REMOUNTS);
  const { points, total } = body.picture!;
  return {
    ...body,
    recordingId,
    picture: {
      points: { ...points, frictional_N: points.frictional_N.map((force) => force * more) },
      total: total.map((point) => ({
        ...point,
        force_N: point.force_N * more,
        low95_N: point.low95_N * more,
        high95_N: point.high95_N * more,
      })),
    },
  };
}
