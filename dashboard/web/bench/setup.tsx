import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { ApiError, ApiProcedure, PortsBody, RigsBody, StartedBody } from '../../server/api.js';
import { nextRemountSentence } from '../../wording/index.js';
import { fetchBody, postBody, troubleOf } from '../api.js';
import { holdDrive } from '../drive/hold-drive.js';
import { refreshState, serverState, session } from '../live.js';
import { buildOf, needAnalyses } from '../logbook.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { BuildChoice, firstChoice, remountOf } from './build-choice.js';
import { Cautions } from './cautions.js';
import { Plan } from './plan.js';
import { QuestionChoice } from './question-choice.js';
import { RigChoice } from './rig-choice.js';
import { RigGlance } from './rig-glance.js';
import {
  askedSeries,
  build,
  chooseBuild,
  chosen,
  isGoingOn,
  isPractice,
  planned,
  ports,
  practiceRig,
  rig,
  rigAtHand,
  rigs,
  tellingRecordings,
} from './sitting.js';
import { StopRow } from './stop-row.js';

/** Everything that has to be said before a recording can start, each with a choice already made. */
export function Setup() {
  const isRead = useSignal(false);
  const trouble = useSignal<ApiError | null>(null);
  const look = () => lookAround().catch((thrown) => (trouble.value = troubleOf(thrown)));
  const form = useRef<HTMLFormElement>(null);
  const isChanging = isGoingOn.value && build.value?.kind === 'new';
  useEffect(() => void look(), []);
  useEffect(() => {
    if (isChanging) form.current?.querySelector<HTMLElement>('input[required]')?.focus();
  }, [isChanging, ports.value === null]);
  useEffect(() => needAnalyses(tellingRecordings.value), [tellingRecordings.value]);

  const found = ports.value;
  if (!found || !rig.value || !build.value)
    return trouble.value ? (
      <Trouble error={trouble.value} again={look} />
    ) : (
      <Waiting doing="Looking for ports" />
    );

  const onRig = build.value;
  const { asked } = planned.value;
  const isByHand = !isPractice.value && rigAtHand.value?.hasDrive === false;
  const procedures = found.procedures.filter(
    ({ name, needsDrive, practiceOnly }) =>
      name === asked.procedure &&
      (isPractice.value ? needsDrive : !practiceOnly && !(isByHand && needsDrive)),
  );
  const procedure = procedures.find(({ id }) => id === chosen.procedure.value) ?? procedures[0]!;
  const asksCautions =
    !isPractice.value && procedure.needsDrive && !(serverState.value?.cautionsRead ?? false);
  const now = session.value;
  // A start that failed is told beside its button; a recording that did, above everything.
  const failure = now.phase === 'failed' && !trouble.value ? now.error : null;

  const start = async (event: Event) => {
    event.preventDefault();
    trouble.value = null;
    try {
      const { lease } = await postBody<StartedBody>('/api/recordings', {
        rig: rig.value,
        build: build.value,
        procedure: procedure.id,
        cautionsRead: isRead.value,
        asked: askedSeries.value,
      });
      if (lease !== null) holdDrive('/api/recordings/current/lease', lease);
      await refreshState();
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
    }
  };

  return (
    <form ref={form} class="setup" onSubmit={start}>
      {failure && <Trouble error={failure} />}
      {isGoingOn.value && onRig.kind === 'existing' ? (
        <NextRemount buildId={onRig.buildId} />
      ) : (
        <>
          {isGoingOn.value ? (
            <p>
              Take the shock off, change it, and say here what was changed; then it is measured as it was
              before.
            </p>
          ) : (
            <QuestionChoice />
          )}
          <RigChoice found={found} lookAgain={look} />
          <BuildChoice chosen={onRig} choose={chooseBuild} />
          <Plan procedures={procedures} procedure={procedure} />
        </>
      )}
      {asksCautions && <Cautions isRead={isRead.value} onRead={(value) => (isRead.value = value)} />}
      {trouble.value && <Trouble error={trouble.value} />}
      <Start
        procedure={procedure}
        isConnecting={now.phase === 'connecting'}
        isHeldUp={asksCautions && !isRead.value}
      />
    </form>
  );
}

function Start(props: {
  readonly procedure: ApiProcedure;
  readonly isConnecting: boolean;
  readonly isHeldUp: boolean;
}) {
  const { procedure, isConnecting, isHeldUp } = props;
  const button = useRef<HTMLButtonElement>(null);
  // In a series the next remount is one key away.
  useEffect(() => {
    if (isGoingOn.value && build.value?.kind === 'existing') button.current?.focus({ preventScroll: true });
  }, [isGoingOn.value]);
  return (
    <>
      <p>{procedure.about}</p>
      <p class="start">
        <button ref={button} type="submit" class="action" disabled={isConnecting || isHeldUp}>
          Start recording
        </button>
        {isGoingOn.value && (
          <button type="button" class="quiet" onClick={() => (isGoingOn.value = false)}>
            Something else
          </button>
        )}
        {isHeldUp && <span class="note">The cautions come first.</span>}
      </p>
      {isConnecting && (
        <StopRow>
          <span role="status">Asking the rig who it is …</span>
        </StopRow>
      )}
    </>
  );
}

/** What to do with the shock before the next recording of a series. */
function NextRemount({ buildId }: { readonly buildId: number }) {
  const onRig = buildOf(buildId);
  if (!onRig) return null;
  return (
    <>
      <p>{nextRemountSentence(remountOf(onRig), askedSeries.value.remounts, isPractice.value)}</p>
      <RigGlance />
    </>
  );
}

async function lookAround(): Promise<void> {
  const [found, known] = await Promise.all([
    fetchBody<PortsBody>('/api/ports'),
    fetchBody<RigsBody>('/api/rigs'),
  ]);
  // A computer's own ttyS ports have hardly ever a rig behind them.
  const port = found.ports.find(({ path }) => !/^\/dev\/ttyS\d+$/.test(path));
  rigs.value = known.rigs;
  ports.value = found;
  build.value ??= firstChoice();
  rig.value ??= port ? { kind: 'port', path: port.path } : practiceRig();
}
