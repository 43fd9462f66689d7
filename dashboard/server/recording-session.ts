import {
  type BuildId,
  DaqError,
  driveLimitsOf,
  type HostClock,
  isDriven,
  type Logbook,
  openRigLink,
  plannedDuration_s,
  type RecordingProgress,
  type RigLink,
  type RigLinkOptions,
  recordBuild,
} from '../../daq/index.js';
import { simulatedRigCalibration } from '../../daq/simulated-rig/index.js';
import type { SessionBody, StartedBody, StartRecordingBody } from './api.js';
import { enterBuild } from './builds-of-requests.js';
import { type DriveLease, driveLease } from './drive-lease.js';
import { codedDetail, requestError, toldError } from './errors.js';
import type { LiveEstimates } from './live-estimates.js';
import type { LiveHub } from './live-hub.js';
import type { PracticeRig } from './practice-rig.js';
import { procedureOf } from './procedure-choices.js';

/** The one recording that this server can make at a time. */
export interface RecordingSession {
  state(): SessionBody;
  /** Whether a rig is being opened or sends samples. */
  isRecording(): boolean;
  /**
   * Opens the rig and begins to record; what happens then is told by `state` and the live stream.
   * @throws requestError 'busy'; DaqError of opening the rig or of what was asked, with nothing recorded
   */
  start(wanted: StartRecordingBody): Promise<StartedBody>;
  /** The page that started the drive is still there. @throws requestError 'not-the-holder', 'lease-lost' */
  renewLease(token: string): void;
  /** Ends the recording under way, its drive first, or before it began. @throws requestError 'not-recording' */
  stop(): SessionBody;
  /** The person has seen what came of the last recording; the bench is free again for every page. */
  settle(): SessionBody;
  /** Stops whatever is under way and waits until the logbook has it. */
  close(): Promise<void>;
}

/** Device time between two progress reports to the pages. */
const REPORT_EVERY_S = 0.25;

export interface RecordingSessionParts {
  readonly logbook: Logbook;
  readonly hub: LiveHub;
  readonly practice: PracticeRig;
  readonly estimates: LiveEstimates;
  /** Measures the drive's lease. */
  readonly clock: HostClock;
}

export function recordingSession(parts: RecordingSessionParts): RecordingSession {
  const { logbook, hub, practice, estimates, clock } = parts;
  let state: SessionBody = { phase: 'idle' };
  let abort = new AbortController();
  let lease: DriveLease | null = null;
  let running: Promise<void> = Promise.resolve();

  function become(next: SessionBody): SessionBody {
    state = next;
    hub.publish('session', next);
    return next;
  }

  async function run(
    link: RigLink,
    buildId: BuildId,
    wanted: StartRecordingBody,
    rig: string,
  ): Promise<void> {
    const procedure = procedureOf(wanted.procedure);
    const asked = wanted.asked ?? null;
    let reported_s = Number.NEGATIVE_INFINITY;
    const report = (progress: RecordingProgress) => {
      const { recordingId, elapsed_s, planned_s, linesMissing } = progress;
      if (reported_s < 0) {
        estimates.begin(recordingId);
        // Only now is it in the logbook, and with it which remount it is.
        hub.publish('logbook', { reason: 'samples are coming' });
      }
      if (elapsed_s - reported_s < REPORT_EVERY_S) return;
      reported_s = elapsed_s;
      const isStopping = abort.signal.aborted;
      if (!isStopping) estimates.reached(elapsed_s, planned_s === null ? null : planned_s - elapsed_s);
      become({
        phase: isStopping ? 'stopping' : 'recording',
        rig,
        buildId,
        recordingId,
        elapsed_s,
        duration_s: planned_s,
        linesMissing,
        wanted_rev_per_s: progress.speed_rev_per_s,
        crank_rev_per_s: progress.crank_rev_per_s,
        asked,
      });
    };
    try {
      const outcome = await recordBuild({
        link,
        logbook,
        buildId,
        procedure,
        limits: driveLimitsOf(logbook, link.identity().rigName),
        isDriveHeld: lease?.isHeld ?? (() => false),
        simulated: wanted.rig.kind === 'practice' ? { seed: practice.seed } : null,
        onProgress: report,
        onSamples: ({ force, position }) =>
          hub.publish('samples', {
            force: { time_s: rounded(force.time_s, 6), force_N: rounded(force.force_N, 4) },
            position: { time_s: rounded(position.time_s, 6), position_m: rounded(position.position_m, 7) },
          }),
        signal: abort.signal,
      });
      const { recordingId, failure, elapsed_s } = outcome;
      const trouble = failure && codedDetail(failure, rig);
      estimates.end(elapsed_s);
      become({
        phase: 'done',
        rig,
        buildId,
        recordingId,
        state: outcome.state,
        elapsed_s,
        trouble,
        asked,
      });
    } finally {
      await link.close();
      hub.publish('logbook', { reason: 'a recording ended' });
    }
  }

  const isRecording = () => ['connecting', 'recording', 'stopping'].includes(state.phase);

  return {
    state: () => state,
    isRecording,
    async start(wanted) {
      if (isRecording())
        throw requestError(409, {
          code: 'busy',
          found: 'a recording under way',
          wanted: 'one recording at a time; stop it first',
          where: 'this server',
        });
      const rig = wanted.rig.kind === 'practice' ? 'the practice rig' : wanted.rig.path;
      abort = new AbortController();
      become({ phase: 'connecting', rig });
      let link: RigLink | null = null;
      try {
        link = await openRigLink(rigOptions(wanted.rig, practice));
        if (abort.signal.aborted) throw stoppedBefore(rig);
        requireCalibration(logbook, link, wanted.rig.kind === 'practice');
        const buildId =
          wanted.build.kind === 'existing'
            ? (wanted.build.buildId as BuildId)
            : enterBuild(logbook, wanted.build, 'body.build');
        const procedure = procedureOf(wanted.procedure);
        const duration_s = plannedDuration_s(procedure);
        lease = isDriven(procedure) ? driveLease(clock) : null;
        become({
          phase: 'recording',
          rig,
          buildId,
          recordingId: null,
          elapsed_s: 0,
          duration_s,
          linesMissing: 0,
          wanted_rev_per_s: null,
          crank_rev_per_s: null,
          asked: wanted.asked ?? null,
        });
        hub.publish('logbook', { reason: 'a recording began' });
        running = run(link, buildId, wanted, rig).catch((error: unknown) => {
          become({ phase: 'failed', rig, error: toldError(error, rig) });
        });
        return { ...state, lease: lease?.token ?? null };
      } catch (error) {
        await link?.close();
        become({ phase: 'failed', rig, error: toldError(error, rig) });
        throw error;
      }
    },
    renewLease(token) {
      // A renewal that was under way when the recording ended is answered with how things stand.
      if (state.phase === 'recording' || state.phase === 'stopping') lease?.renew(token);
    },
    stop() {
      if (state.phase === 'connecting') {
        abort.abort();
        return state;
      }
      if (state.phase !== 'recording' && state.phase !== 'stopping') throw notRecording('one to stop');
      abort.abort();
      return become({ ...state, phase: 'stopping' });
    },
    settle() {
      if (state.phase === 'done' || state.phase === 'failed') become({ phase: 'idle' });
      return state;
    },
    async close() {
      abort.abort();
      await running;
    },
  };
}

/** As many decimals as can be seen, so that a batch is half as long. */
function rounded(values: Float64Array, decimals: number): number[] {
  const scale = 10 ** decimals;
  return Array.from(values, (value) => Math.round(value * scale) / scale);
}

function notRecording(wanted: string) {
  return requestError(409, {
    code: 'not-recording',
    found: 'no recording under way',
    wanted,
    where: 'this server',
  });
}

function stoppedBefore(where: string) {
  return requestError(409, {
    code: 'stopped',
    found: 'a recording stopped while its rig was being opened; nothing was moved',
    wanted: 'a new start from the page',
    where,
  });
}

function rigOptions(rig: StartRecordingBody['rig'], practice: PracticeRig): RigLinkOptions {
  return rig.kind === 'practice' ? practice.mount(rig.build) : { path: rig.path };
}

/** Said before a new build is entered, so that a refusal leaves nothing behind. The practice rig brings its own. */
function requireCalibration(logbook: Logbook, link: RigLink, isPractice: boolean): void {
  const { rigName } = link.identity();
  const known = logbook.findRig(rigName);
  if (known !== undefined && logbook.calibrationInForce(known)) return;
  if (isPractice) {
    logbook.addCalibration(
      logbook.rigNamed(rigName),
      simulatedRigCalibration,
      'as its invented owner measured it',
    );
    return;
  }
  throw new DaqError('no-calibration', {
    where: link.path,
    found: `rig '${rigName}' without a calibration`,
    wanted: 'one: `dashpot-bench record` takes it as an option the first time',
  });
}
