import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { CareProcedure, PortsBody } from '../../server/api.js';
import { crankCautions, drivenCautions, loadCautions } from '../../wording/index.js';
import { fetchBody } from '../api.js';
import { serverState } from '../live.js';
import { PortField, PRACTICE } from '../pieces/port-field.js';
import { Trouble } from '../pieces/trouble.js';
import { isAboutPlan, PlanFields, usePlan } from './plan-fields.js';
import { guidedTrouble, startGuided } from './state.js';

const cautionsOf: Readonly<Record<CareProcedure, readonly string[]>> = {
  setup: [...loadCautions, ...crankCautions],
  force: loadCautions,
  position: crankCautions,
  angle: crankCautions,
  lag: drivenCautions,
  mass: drivenCautions,
  check: drivenCautions,
};

/** What has to be said before a procedure: at which rig, with what; and what can hurt. */
export function StartProcedure(props: {
  readonly what: CareProcedure;
  /** Whether a check standard was measured before. */
  readonly hasHistory: boolean;
}) {
  const { what } = props;
  const ports = useSignal<PortsBody['ports'] | null>(null);
  const chosen = useSignal<string | null>(null);
  // What was confirmed in this sitting are the drive's; masses and the crank have their own, each time.
  const isRead = useSignal(cautionsOf[what] === drivenCautions && (serverState.value?.cautionsRead ?? false));
  const { typed, plan } = usePlan(what);
  useEffect(() => {
    void fetchBody<PortsBody>('/api/ports').then(
      (found) => {
        ports.value = found.ports;
      },
      () => {},
    );
  }, []);
  // A port that says nothing of itself is seldom a rig.
  const port = chosen.value ?? ports.value?.find(({ about }) => about !== '')?.path ?? PRACTICE;
  const trouble = guidedTrouble.value;
  const begin = (event: Event) => {
    event.preventDefault();
    void startGuided({
      what,
      rig: port === PRACTICE ? { kind: 'practice' } : { kind: 'port', path: port },
      plan: plan(),
      cautionsRead: isRead.value,
    });
  };
  return (
    <form class="start-procedure" onSubmit={begin}>
      <PortField
        label="Connected to"
        ports={ports.value ?? []}
        value={port}
        onChange={(path) => (chosen.value = path)}
      />
      <PlanFields
        what={what}
        without={props.hasHistory ? [] : ['isNewBaseline']}
        typed={typed.value}
        trouble={trouble}
        onChange={(next) => (typed.value = next)}
      />
      <div class="caution">
        <ul>
          {cautionsOf[what].map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </div>
      {port !== PRACTICE && (
        <label class="check">
          <input
            type="checkbox"
            checked={isRead.value}
            onChange={(event) => (isRead.value = event.currentTarget.checked)}
          />
          <span>I have read this.</span>
        </label>
      )}
      {trouble && !isAboutPlan(trouble) && <Trouble error={trouble} />}
      <button type="submit" class="action" disabled={port !== PRACTICE && !isRead.value}>
        Begin
      </button>
    </form>
  );
}
