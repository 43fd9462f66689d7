import {
  type HostClock,
  isDriven,
  type Logbook,
  type Operator,
  openRigLink,
  type RigLink,
} from '../../../daq/index.js';
import { playedOwner, simulatedRig, testPieces } from '../../../daq/simulated-rig/index.js';
import type { CareProcedure, GuidedBody, GuidedStart, TakenReading } from '../api-care.js';
import { type DriveLease, driveLease } from '../drive-lease.js';
import { requestError, toldError } from '../errors.js';
import { enterFound } from './enter-found.js';
import { refusePlan } from './plan-of-care.js';
import { procedureOf, runCare } from './run-care.js';

/** The one procedure that this server leads a person through, with the same functions as the commands. */
export interface GuidedCare {
  state(): GuidedBody;
  /** Whether a rig is being opened or sends samples of a run. */
  isRecording(): boolean;
  /** @throws what opening the rig threw, requestError 'busy', 'bad-request' */
  start(asked: GuidedStart): Promise<{ readonly body: GuidedBody; readonly lease: string | null }>;
  /** The person has done what was asked; where a length was to be measured, with it. */
  go(measured_m: number | null): GuidedBody;
  renewLease(token: string): void;
  enter(note: string): GuidedBody;
  /** Ends it, whatever it is doing; nothing is entered. */
  leave(): Promise<GuidedBody>;
  close(): Promise<void>;
}

/** What is mounted on the simulated rig for each. */
const mounted: Readonly<Record<CareProcedure, keyof typeof testPieces>> = {
  setup: 'bare-slide',
  force: 'bare-slide',
  position: 'bare-slide',
  angle: 'bare-slide',
  lag: 'dry-spring',
  mass: 'bare-slide',
  check: 'check-standard',
};

export interface GuidedCareParts {
  readonly logbook: Logbook;
  /** Of the simulated rig. */
  readonly seed: number;
  readonly pace: 'real' | 'simulated';
  /** Measures the drive's lease. */
  readonly clock: HostClock;
  /** Told when the logbook has something new. */
  readonly onEntered: () => void;
}

export function guidedCare({ logbook, seed, pace, clock, onEntered }: GuidedCareParts): GuidedCare {
  let state: GuidedBody = { phase: 'idle' };
  let abort = new AbortController();
  let lease: DriveLease | null = null;
  let running: Promise<void> = Promise.resolve();
  let answer: ((measured_m: number | null) => void) | null = null;

  const become = (next: GuidedBody): GuidedBody => {
    state = next;
    return next;
  };

  function personAt(what: CareProcedure, rig: string, owner: Operator | null): Operator {
    const taken: TakenReading[] = [];
    const told = (step: TakenReading['step'], wantsLength: boolean, signal?: AbortSignal) =>
      new Promise<number | null>((resolve, reject) => {
        const leave = () => reject(signal!.reason);
        signal?.addEventListener('abort', leave, { once: true });
        answer = (measured_m) => {
          signal?.removeEventListener('abort', leave);
          resolve(measured_m);
        };
        become({ phase: 'asking', what, rig, step, wantsLength, counts: null, taken: [...taken] });
      });
    return {
      async ready(step, signal) {
        await told(step, false, signal);
        await owner?.ready(step, signal);
      },
      async measured(step, signal) {
        const measured_m = await told(step, owner === null, signal);
        return owner ? owner.measured(step, signal) : measured_m!;
      },
      progress(step, counts) {
        become({ phase: 'reading', what, rig, step, wantsLength: false, counts, taken: [...taken] });
      },
      reading(step, { counts, samples }) {
        taken.push({ step, counts, samples });
      },
    };
  }

  async function run(
    link: RigLink,
    asked: GuidedStart,
    owner: Operator | null,
    signal: AbortSignal,
  ): Promise<void> {
    const { what } = asked;
    const rig = link.identity().rigName;
    try {
      const result = await runCare({
        link,
        logbook,
        asked,
        operator: personAt(what, rig, owner),
        isDriveHeld: owner ? () => true : (lease?.isHeld ?? (() => false)),
        seed: owner ? seed : null,
        onProgress: ({ elapsed_s, planned_s }) =>
          become({ phase: 'recording', what, rig, elapsed_s, planned_s }),
        signal,
      });
      signal.throwIfAborted();
      if (result.kind === 'checked')
        become({ phase: 'entered', what, rig, entered: { version: null, missing: [] } });
      else become({ phase: 'found', what, rig, found: result });
      onEntered();
    } catch (error) {
      if (signal.aborted) become({ phase: 'idle' });
      else become({ phase: 'failed', what, error: toldError(error, rig) });
    } finally {
      await link.close();
    }
  }

  return {
    state: () => state,
    isRecording: () => ['connecting', 'recording'].includes(state.phase),
    async start(asked) {
      if (['connecting', 'asking', 'reading', 'recording'].includes(state.phase))
        throw requestError(409, {
          code: 'busy',
          found: 'a procedure under way',
          wanted: 'one at a time; leave it first',
          where: 'this server',
        });
      const { what } = asked;
      refusePlan(what, asked.plan);
      abort = new AbortController();
      const { signal } = abort;
      lease = null;
      become({ phase: 'connecting', what });
      let link: RigLink | null = null;
      try {
        const played =
          asked.rig.kind === 'practice'
            ? simulatedRig({ seed, build: testPieces[mounted[what]], pace })
            : null;
        link = await openRigLink(
          asked.rig.kind === 'port'
            ? { path: asked.rig.path }
            : { path: played!.path, binding: played!.binding, clock: played!.clock },
        );
        // Left while the rig was being opened: what somebody has begun meanwhile is not this one's to go on with.
        signal.throwIfAborted();
        const procedure = procedureOf(what, link.identity(), logbook);
        if (procedure && isDriven(procedure) && !played) lease = driveLease(clock);
        running = run(link, asked, played && playedOwner(played), signal);
        return { body: state, lease: lease?.token ?? null };
      } catch (error) {
        await link?.close();
        if (signal.aborted) throw notNow('a procedure that was not left while its rig was being opened');
        become({ phase: 'idle' });
        throw error;
      }
    },
    go(measured_m) {
      if (state.phase !== 'asking' || !answer) throw notNow('a step that waits for a person');
      if (state.wantsLength && measured_m === null)
        throw requestError(400, {
          code: 'bad-request',
          found: 'no length',
          wanted: 'where the slide stands, mm',
          where: 'body.measured_mm',
        });
      const step = answer;
      answer = null;
      become({ ...state, phase: 'reading' });
      step(measured_m);
      return state;
    },
    renewLease(token) {
      if (state.phase === 'recording' || state.phase === 'connecting') lease?.renew(token);
    },
    enter(note) {
      if (state.phase !== 'found') throw notNow('something that was found');
      const { what, rig, found } = state;
      const entered = enterFound(logbook, rig, found, note);
      onEntered();
      return become({ phase: 'entered', what, rig, entered });
    },
    async leave() {
      abort.abort(new Error('left before its end'));
      await running;
      return become({ phase: 'idle' });
    },
    async close() {
      abort.abort(new Error('the server ends'));
      await running;
    },
  };
}

const notNow = (wanted: string) =>
  requestError(409, { code: 'not-now', found: 'nothing of the kind', wanted, where: 'this server' });
