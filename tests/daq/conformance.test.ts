import { describe, expect, it } from 'vitest';
import { checkRig } from '../../daq/conformance/check-rig.js';
import { RIG_CHECKS, type RigCheckCode } from '../../daq/conformance/rig-check.js';
import { sealLine } from '../../firmware-protocol/index.js';
import { type Raw, type Spoiling, spoiltRig } from './spoilt-rig.js';

/** Codes by what became of them. */
async function outcomes(spoiling: Spoiling, { drive = true } = {}) {
  const rig = spoiltRig(spoiling);
  const { checks } = await checkRig({ ...rig, drive });
  const codes = (outcome: string) =>
    checks.flatMap((check) => (check.outcome === outcome ? [check.code] : []));
  return { rig, checks, failed: codes('failed'), unseen: codes('unseen') };
}

/** The device's lines, with this done to those that match. */
const changed = (which: RegExp, ...to: string[]): Spoiling => ({
  toHost: (payload) => (which.test(payload) ? to.map((text) => payload.replace(which, text)) : [payload]),
});

/** As `changed`, to the first that matches only. */
function changedOnce(
  which: RegExp,
  replace: (payload: string) => ReturnType<NonNullable<Spoiling['toHost']>>,
) {
  let isDone = false;
  const spoiling: Spoiling = {
    toHost(payload) {
      if (isDone || !which.test(payload)) return [payload];
      isDone = true;
      return replace(payload);
    },
  };
  return spoiling;
}

/** What the device hears, with this done to lines that match. */
const misheard = (
  which: RegExp,
  replace: (line: string, answer: (payload: string) => void) => readonly string[],
): Spoiling => ({
  toDevice: (line, answer) => (which.test(line) ? replace(line, answer) : [{ raw: `${line}\n` }]),
});

/** As `changed`, to every second that matches: left out. */
function everySecond(which: RegExp): Spoiling {
  let seen = 0;
  return { toHost: (payload) => (which.test(payload) && ++seen % 2 === 0 ? [] : [payload]) };
}

/** As `changed`, to the nth that matches; null leaves it out. */
function changedNth(which: RegExp, nth: number, replace: (payload: string) => string | Raw | null): Spoiling {
  let seen = 0;
  return {
    toHost(payload) {
      if (!which.test(payload) || ++seen !== nth) return [payload];
      const other = replace(payload);
      return other === null ? [] : [other];
    },
  };
}

/** Refuses the drive as tripped once it has turned and been halted. */
function tripsAtHalt(): Spoiling {
  let state: 'still' | 'turned' | 'tripped' = 'still';
  return {
    toDevice(line, answer) {
      const [, word, tag] = /^([A-Z]+),(\d+)/.exec(line) ?? [];
      if (word === 'HALT' && state === 'turned') state = 'tripped';
      if (word === 'DRIVE' && state === 'still') state = 'turned';
      if (word !== 'DRIVE' || state !== 'tripped') return [{ raw: `${line}\n` }];
      answer(`N,0,DRIVE,${tag},tripped`);
      return [];
    },
  };
}

function channelsOutWhileSampling(): Spoiling {
  let isSampling = false;
  return {
    toHost(payload) {
      if (/^A,\d+,(START|STOP)/.test(payload)) isSampling = payload.includes('START');
      return isSampling && /^C/.test(payload) ? [] : [payload];
    },
  };
}

/** A device without a drive that answers `DRIVE` so. */
const driveless = (answerToDrive: string): Spoiling => ({
  toHost: (payload) => (/^V/.test(payload) ? [] : [payload.replace(/^(I.*),speed$/, '$1,none')]),
  toDevice(line, answer) {
    const [, tag] = /^DRIVE,(\d+),/.exec(line) ?? [];
    if (!tag) return [{ raw: `${line}\n` }];
    answer(answerToDrive.replace('TAG', tag));
    return [];
  },
});

describe('a device that keeps the protocol', () => {
  it('passes every check, its drive included', async () => {
    const { failed, unseen, checks } = await outcomes({});
    expect({ failed, unseen }).toEqual({ failed: [], unseen: ['no-drive'] });
    expect(checks.map(({ code }) => code)).toEqual([...RIG_CHECKS]);
  });

  it('passes them without a drive', async () => {
    const { failed, unseen } = await outcomes(driveless('N,0,DRIVE,TAG,no-drive'));
    expect(failed).toEqual([]);
    expect(unseen).toEqual(['drive-range', 'drive-beats', 'drive-halt', 'drive-lease', 'drive-tripped']);
  });

  it('is never sent a DRIVE by one who did not ask for it', async () => {
    const { rig, failed, unseen } = await outcomes({}, { drive: false });
    expect(rig.heard.filter((line) => line.startsWith('DRIVE'))).toEqual([]);
    expect(failed).toEqual([]);
    expect(unseen).toContain('drive-lease');
  });

  it('is left at rest, with a halted drive', async () => {
    const { rig } = await outcomes({});
    expect(rig.rig.commanded_rev_per_s).toBe(0);
    expect(rig.heard.slice(-2).map((line) => line.split(',')[0])).toEqual(['HALT', 'STOP']);
  });

  it('is halted when the run is broken off', async () => {
    const rig = spoiltRig({});
    const breakOff = new AbortController();
    const run = checkRig({ ...rig, drive: true, signal: breakOff.signal });
    const watch = () =>
      rig.heard.some((line) => line.startsWith('DRIVE')) ? breakOff.abort() : rig.clock.after(10, watch);
    watch();
    await expect(run).rejects.toThrow(/abort/);
    expect(rig.heard.slice(-2).map((line) => line.split(',')[0])).toEqual(['HALT', 'STOP']);
    expect(rig.rig.commanded_rev_per_s).toBe(0);
  });
});

const spoilt: readonly (readonly [what: string, failed: readonly RigCheckCode[], spoiling: Spoiling])[] = [
  ['says nothing', ['answers'], { toHost: () => [] }],
  ['says nothing but noise', ['answers'], { toHost: () => [{ raw: '\u0014\u0010\n' }] }],
  ['tells no boot', ['banner'], changed(/^E,\d+,\d+,boot,\d+$/)],
  ['glues its banner to what was cut', ['banner'], changed(/^$/)],
  [
    'restarts in mid-run',
    ['banner', 'sequence'],
    changedOnce(/^E,\d+,\d+,tare,/, (payload) => [payload, { raw: '\n' }, { raw: 'E,0,10,boot,8*DBC3\n' }]),
  ],
  ['leaves a channel out', ['identity'], changed(/^C,\d+,temperature.*/)],
  ['leaves its drive out', ['identity'], changed(/^V,.*/)],
  ['speaks another version', ['identity'], changed(/^(I,\d+),1,/, '$1,2,')],
  [
    'has its limits the wrong way round',
    ['channels', 'counts'],
    changed(/-8388608,8388607/, '8388607,-8388608'),
  ],
  [
    'has no position',
    ['channels', 'rate', 'rates', 'counts'],
    changed(/^(C,\d+),position,counts/, '$1,temperature,mdegC'),
  ],
  [
    'samples unasked',
    ['rest', 'stop-at-rest', 'rate-refused', 'rate', 'start', 'rest-after-stop', 'one-answer'],
    misheard(/^STOP/, (line) => [line.slice(0, -5), 'START,0']),
  ],
  ['takes a stop for done', ['stop-at-rest'], changed(/^N(,\d+,STOP,\d+),not-running/, 'A$1,0')],
  ['knows no unknown command', ['unknown-command'], changed(/unknown-command/, 'bad-argument')],
  ['reads lines with a wrong checksum', ['bad-checksum'], misheard(/^ID,7\*0000/, () => ['ID,7'])],
  ['reads sloppy numbers', ['bad-argument'], misheard(/^ID,07/, () => ['ID,7'])],
  ['reads the beginning of a long line', ['too-long'], misheard(/^TARE,7,x/, () => ['TARE,7'])],
  [
    'answers an empty line with a carriage return',
    ['empty-line', 'one-answer'],
    misheard(/^\r$/, (_line, answer) => {
      answer('N,0,?,0,bad-checksum');
      return [];
    }),
  ],
  ['reads no carriage return', ['carriage-return'], misheard(/.\r$/, () => ['HALT'])],
  ['reads no later fields', ['later-fields'], misheard(/later/, () => ['HALT'])],
  [
    'answers a heartbeat',
    ['beat', 'one-answer'],
    misheard(/^BEAT/, (line, answer) => {
      answer(line.replace(/^BEAT,(\d+).*/, 'A,0,BEAT,$1'));
      return [line.slice(0, -5)];
    }),
  ],
  ['marks no moment', ['tare'], changed(/^E,\d+,\d+,tare,\d+$/)],
  [
    'refuses to halt',
    ['halt', 'too-long', 'carriage-return', 'later-fields', 'drive-halt'],
    changed(/^A(,\d+,HALT,\d+)$/, 'N$1,no-drive'),
  ],
  ['does not take its own rate', ['rate'], changed(/^A(,\d+,RATE,\d+)$/, 'N$1,bad-argument')],
  [
    'tells a rate that it did not take',
    ['rate', 'rates'],
    misheard(/^RATE,\d+,force,80000/, (line) => [line.slice(0, -5).replace('80000', '320000')]),
  ],
  ['takes any rate', ['rate-refused'], changed(/^N(,\d+,RATE,\d+),bad-argument$/, 'A$1')],
  ['does not start', ['start'], changed(/^A(,\d+,START,\d+)$/, 'N$1,busy')],
  ['starts twice', ['start-twice'], changed(/^N(,\d+,START,\d+),busy$/, 'A$1')],
  ['changes rates while sampling', ['rate-while-sampling'], changed(/^N(,\d+,RATE,\d+),busy$/, 'A$1')],
  ['leaves its channels out while it samples', ['identify-while-sampling'], channelsOutWhileSampling()],
  ['sends half of its samples', ['rates'], everySecond(/^F/)],
  ['sends no position', ['rates'], changed(/^P.*/)],
  [
    'runs a clock twice as fast',
    ['rates', 'clock'],
    {
      toHost: (payload) => [
        payload.replace(/^([FPT],\d+),(\d+)/, (_, a, us) => `${a},${(2 * us) % 2 ** 32}`),
      ],
    },
  ],
  [
    'stamps backward',
    ['stamps'],
    changedNth(/^P/, 100, (payload) =>
      payload.replace(/^(P,\d+),(\d+)/, (_, head, us) => `${head},${us - 25_000}`),
    ),
  ],
  ['leaves a conversion out in silence', ['stamps'], changedNth(/^F/, 100, () => null)],
  ['counts beyond its limits', ['counts'], changedNth(/^P/, 100, (p) => p.replace(/,\d+$/, ',16369'))],
  ['owns up to lines that it did send', ['stop'], changed(/^(A,\d+,STOP,\d+),\d+$/, '$1,99')],
  ['does not say what it dropped', ['stop'], changed(/^(A,\d+,STOP,\d+),\d+$/, '$1')],
  [
    'goes on after a stop',
    ['rest-after-stop', 'stop'],
    misheard(/^STOP/, (line, answer) => {
      const isFirst = /^STOP,[1-9]\*/.test(line);
      if (isFirst) return [line.slice(0, -5)];
      answer(line.replace(/^STOP,(\d+).*/, 'A,0,STOP,$1,0'));
      return [];
    }),
  ],
  ['turns a drive that it does not have', ['no-drive'], driveless('A,0,DRIVE,TAG')],
  ['takes any speed', ['drive-range'], changed(/^N(,\d+,DRIVE,\d+),bad-argument$/, 'A$1')],
  ['hears no heartbeat', ['drive-beats', 'drive-halt', 'drive-lease'], misheard(/^BEAT/, () => [])],
  ['trips when it is halted', ['drive-halt', 'drive-lease'], tripsAtHalt()],
  ['never gives its lease up', ['drive-lease'], changed(/^E,\d+,\d+,lease-lost.*/)],
  ['forgets that it has tripped', ['drive-tripped'], changed(/^N(,\d+,DRIVE,\d+),tripped$/, 'A$1')],
  [
    'sends a damaged line',
    ['line-form'],
    changedOnce(/^P/, (payload) => [payload, { raw: 'P,1,2,3*0000\n' }]),
  ],
  [
    'sends an endless line',
    ['line-length'],
    changedOnce(/^P/, (payload) => [payload, { raw: `${'x'.repeat(200)}\n` }]),
  ],
  [
    'loses a line without a word',
    ['sequence', 'stop'],
    changedNth(/^P/, 50, () => ({ raw: '', isCounted: true })),
  ],
  [
    'sends a line twice',
    ['sequence'],
    changedOnce(/^E,\d+,\d+,tare,/, (payload) => [
      payload,
      { raw: Buffer.from(sealLine(payload)).toString() },
    ]),
  ],
  ['answers twice', ['one-answer'], changed(/^A,\d+,TARE,\d+$/, '$&', '$&')],
  ['does not answer', ['tare', 'one-answer', 'answer-time'], changed(/^A,\d+,TARE,\d+$/)],
];

describe('a device is told by the check that is about it, when it', () => {
  it.each(spoilt)('%s', async (_what, expected, spoiling) => {
    const { failed, checks } = await outcomes(spoiling);
    expect(failed.toSorted(), JSON.stringify(checks.filter(({ outcome }) => outcome === 'failed'))).toEqual(
      expected.toSorted(),
    );
  });

  it('(each check has a device that fails it)', () => {
    const told = new Set(spoilt.flatMap(([, failed]) => failed));
    expect(RIG_CHECKS.filter((code) => !told.has(code))).toEqual([]);
  });
});
