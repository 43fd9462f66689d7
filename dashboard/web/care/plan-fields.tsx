import { useSignal } from '@preact/signals';
import type { ApiError, CarePlan, CareProcedure } from '../../server/api.js';
import { NumberField, typedNumber } from '../pieces/number-field.js';

interface PlanField {
  readonly key: string;
  readonly label: string;
  readonly unit: string;
  readonly hint?: string;
  readonly first: string;
}

const runs: PlanField = { key: 'runs', label: 'Times up and down', unit: '', first: '3' };
const gravity: PlanField = {
  key: 'gravity_m_per_s2',
  label: 'Local gravity',
  unit: 'm/s²',
  hint: 'Empty: from the set-up, or 9.807, which may be off by 0.3 %.',
  first: '',
};
const fields: Readonly<Record<CareProcedure, readonly PlanField[]>> = {
  setup: [
    { key: 'capacity_N', label: 'Load printed on the cell', unit: 'N', hint: '10 kg is 98 N.', first: '' },
    { key: 'stroke_mm', label: 'Whole travel of the slide', unit: 'mm', first: '' },
    { ...gravity, hint: 'For hanging masses; empty where it is not known.' },
  ],
  force: [
    {
      key: 'masses_g',
      label: 'Masses, with their holder',
      unit: 'g',
      first: '100 200 500 800 1000',
    },
    runs,
    gravity,
  ],
  position: [
    {
      key: 'lengths_mm',
      label: 'Lengths from full extension',
      unit: 'mm',
      first: '5 10 15 20',
    },
    { ...runs, label: 'Times in and out', first: '2' },
  ],
  angle: [
    { key: 'radius_mm', label: 'Half the stroke, roughly', unit: 'mm', first: '' },
    { key: 'rod_mm', label: 'Length of the rod', unit: 'mm', first: '' },
    { key: 'countsPerTurn', label: 'Counts of a whole turn', unit: '', first: '4096' },
  ],
  lag: [],
  mass: [],
  check: [],
};

/** What somebody types beforehand, by field. */
export type TypedPlan = Readonly<Record<string, string>>;

/** The fields of a procedure's plan, kept while they are filled. */
export function usePlan(what: CareProcedure) {
  const typed = useSignal<TypedPlan>(Object.fromEntries(fields[what].map(({ key, first }) => [key, first])));
  return { typed, plan: () => planOf(typed.value) };
}

export function PlanFields(props: {
  readonly what: CareProcedure;
  readonly typed: TypedPlan;
  readonly trouble: ApiError | null;
  readonly onChange: (typed: TypedPlan) => void;
}) {
  const { what, typed, trouble, onChange } = props;
  if (fields[what].length === 0) return null;
  return (
    <div class="fields">
      {fields[what].map(({ key, label, unit, hint }) => (
        <NumberField
          key={key}
          label={label}
          unit={unit}
          length={60}
          value={typed[key] ?? ''}
          {...(hint && { hint })}
          trouble={
            trouble?.where.startsWith(`body.plan.${key}`) || trouble?.where === `plan.${key}` ? trouble : null
          }
          onChange={(value) => onChange({ ...typed, [key]: value })}
        />
      ))}
    </div>
  );
}

/** Whether a trouble has its field here. */
export const isAboutPlan = (trouble: ApiError | null): boolean =>
  /^(body\.)?plan\./.test(trouble?.where ?? '');

function planOf(typed: TypedPlan): CarePlan {
  const one = (key: string): number | null => {
    const text = typedNumber(typed[key] ?? '');
    return text === '' ? null : Number(text);
  };
  const list = (key: string): number[] =>
    (typed[key] ?? '')
      .split(/[\s;]+/)
      .filter(Boolean)
      .map((text) => Number(typedNumber(text)));
  return {
    masses_g: list('masses_g'),
    lengths_mm: list('lengths_mm'),
    runs: one('runs') ?? 1,
    gravity_m_per_s2: one('gravity_m_per_s2'),
    isPull: false,
    radius_mm: one('radius_mm'),
    rod_mm: one('rod_mm'),
    countsPerTurn: one('countsPerTurn'),
    capacity_N: one('capacity_N'),
    stroke_mm: one('stroke_mm'),
  };
}
