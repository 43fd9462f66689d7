import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { type Logbook, openLogbook } from '../../daq/index.js';
import type { GuidedStart } from '../../dashboard/server/api.js';
import { guidedCare } from '../../dashboard/server/care/guided-care.js';
import { liveEstimates } from '../../dashboard/server/live-estimates.js';
import { createLiveHub } from '../../dashboard/server/live-hub.js';
import { practiceRig } from '../../dashboard/server/practice-rig.js';
import { recordingSession } from '../../dashboard/server/recording-session.js';

const clock = { now_ms: () => 0, after: () => () => {} };
let folder: string;
let logbook: Logbook;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'left-early-'));
  logbook = openLogbook(join(folder, 'log.db'));
});
afterEach(() => {
  logbook.close();
  rmSync(folder, { recursive: true });
});

it('a recording that is stopped while its rig is being opened never begins', async () => {
  const session = recordingSession({
    logbook,
    hub: createLiveHub('test'),
    practice: practiceRig('simulated', 1),
    estimates: liveEstimates(
      async () => {
        throw new Error('nothing was recorded');
      },
      () => {},
      clock,
    ),
    clock,
  });
  const starting = session.start({
    rig: { kind: 'practice', build: 'draggy-seal' },
    build: { kind: 'new', name: 'as it came', shock: 'left', parentId: null, change: '' },
    procedure: 'speed-ladder',
    cautionsRead: true,
  });
  expect(session.stop()).toMatchObject({ phase: 'connecting' });
  await expect(starting).rejects.toMatchObject({ code: 'stopped' });
  expect(session.state()).toMatchObject({ phase: 'failed', error: { code: 'stopped' } });
  expect(logbook.listBuilds()).toEqual([]);
});

it('a procedure that is left while its rig is being opened does not go on as the one begun after it', async () => {
  const guided = guidedCare({ logbook, seed: 1, pace: 'simulated', clock, onEntered: () => {} });
  const asked: GuidedStart = {
    what: 'force',
    rig: { kind: 'practice' },
    plan: {
      masses_g: [100, 200, 500, 800, 1000],
      lengths_mm: [],
      runs: 1,
      gravity_m_per_s2: 9.81,
      latitude_deg: null,
      height_m: null,
      isPull: false,
      massUncertainty_percent: null,
      lengthUncertainty_mm: null,
      radius_mm: null,
      rod_mm: null,
      countsPerTurn: null,
      capacity_N: 98,
      stroke_mm: 24,
      forceLimit_N: null,
      fastest_rev_per_s: null,
      isNewBaseline: false,
    },
    cautionsRead: true,
  };
  const first = guided.start(asked);
  await guided.leave();
  const second = guided.start(asked);
  await expect(first).rejects.toMatchObject({ code: 'not-now' });
  await second;
  expect(guided.state()).toMatchObject({ phase: 'asking', step: { step: 1 } });
  await guided.close();
});
