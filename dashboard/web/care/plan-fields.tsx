import { useSignal } from '@preact/signals';
import type { ApiError, CarePlan, CareProcedure } from '../../server/api.js';
import { NumberField, typedNumber } from '../pieces/number-field.js';

interface PlanField {
  readonly key: string;
  readonly label: string;
  readonly unit: string;
  readonly hint?: string;
  readonly first?: string;
  /** What few need. */
  readonly isMore?: boolean;
  /** Yes or no, in place of a number. */
  readonly isBox?: boolean;
}

const runs: PlanField = { key: 'runs', label: 'Times up and down', unit: '', first: '3' };
const latitude: PlanField = {
  key: 'latitude_deg',
  label: 'Latitude',
  unit: '°',
  hint: 'Tells local gravity within 0.006 %. Empty: from the set-up, or 9.807 m/s², which may be off by 0.3 %.',
};
const gravity: readonly PlanField[] = [
  { key: 'height_m', label: 'Height above the sea', unit: 'm', isMore: true },
  { key: 'gravity_m_per_s2', label: 'Local gravity, instead of the latitude', unit: 'm/s²', isMore: true },
];
const capacity: PlanField = {
  key: 'capacity_N',
  label: 'Load printed on the cell',
  unit: 'N',
  hint: '10 kg is 98 N.',
};
const fields: Readonly<Record<CareProcedure, readonly PlanField[]>> = {
  setup: [
    capacity,
    { key: 'stroke_mm', label: 'Whole travel of the slide', unit: 'mm' },
    { ...latitude, hint: 'For hanging masses; empty where it is not known.' },
    {
      key: 'forceLimit_N',
      label: 'Load that ends a run',
      unit: 'N',
      hint: 'Empty: 60 % of the load printed on the cell.',
      isMore: true,
    },
    {
      key: 'fastest_rev_per_s',
      label: 'Fastest that the drive may turn',
      unit: 'rev/s',
      hint: 'Empty: as fast as its firmware allows.',
      isMore: true,
    },
    ...gravity,
  ],
  force: [
    {
      key: 'masses_g',
      label: 'Masses, with their holder',
      unit: 'g',
      first: '100 200 500 800 1000',
    },
    runs,
    latitude,
    {
      key: 'isPull',
      label: 'The masses pull where a shock in compression pushes: the cell hangs the other way',
      unit: '',
      isBox: true,
    },
    {
      key: 'massUncertainty_percent',
      label: 'Standard uncertainty of the masses',
      unit: '%',
      hint: 'Empty: 0.1 %, as of a kitchen scale.',
      isMore: true,
    },
    { ...capacity, hint: 'Empty: from the set-up. Masses beyond it are refused.', isMore: true },
    ...gravity,
  ],
  position: [
    {
      key: 'lengths_mm',
      label: 'Lengths from full extension',
      unit: 'mm',
      first: '5 10 15 20',
    },
    { ...runs, label: 'Times in and out', first: '2' },
    {
      key: 'lengthUncertainty_mm',
      label: 'Standard uncertainty of a length',
      unit: 'mm',
      hint: 'Empty: 0.02 mm, as of a calliper.',
      isMore: true,
    },
  ],
  angle: [
    { key: 'radius_mm', label: 'Half the stroke, roughly', unit: 'mm' },
    { key: 'rod_mm', label: 'Length of the rod', unit: 'mm' },
    { key: 'countsPerTurn', label: 'Counts of a whole turn', unit: '', first: '4096' },
  ],
  lag: [],
  mass: [],
  check: [
    {
      key: 'isNewBaseline',
      label: 'Its history begins anew: after a repair, or with another spring',
      unit: '',
      isBox: true,
    },
  ],
};

/** What somebody types beforehand, by field. */
export type TypedPlan = Readonly<Record<string, string>>;

/** The fields of a procedure's plan, kept while they are filled. */
export function usePlan(what: CareProcedure) {
  const typed = useSignal<TypedPlan>(
    Object.fromEntries(fields[what].map(({ key, first = '' }) => [key, first])),
  );
  return { typed, plan: () => planOf(typed.value) };
}

export function PlanFields(props: {
  readonly what: CareProcedure;
  /** Fields that make no sense now. */
  readonly without?: readonly string[];
  readonly typed: TypedPlan;
  readonly trouble: ApiError | null;
  readonly onChange: (typed: TypedPlan) => void;
}) {
  const { what, without = [], typed, trouble, onChange } = props;
  const all = fields[what].filter(({ key }) => !without.includes(key));
  const isAbout = ({ key }: PlanField) =>
    trouble !== null && (trouble.where.startsWith(`body.plan.${key}`) || trouble.where === `plan.${key}`);
  const shown = (isMore: boolean) =>
    all
      .filter((field) => (field.isMore ?? false) === isMore)
      .map((field) => (
        <Field
          key={field.key}
          field={field}
          value={typed[field.key] ?? ''}
          trouble={isAbout(field) ? trouble : null}
          onChange={(value) => onChange({ ...typed, [field.key]: value })}
        />
      ));
  const more = shown(true);
  return (
    <>
      {all.length > 0 && <div class="fields">{shown(false)}</div>}
      {more.length > 0 && (
        <details open={all.some((field) => field.isMore && isAbout(field)) || undefined}>
          <summary>What few need to say</summary>
          <div class="fields">{more}</div>
        </details>
      )}
    </>
  );
}

function Field(props: {
  readonly field: PlanField;
  readonly value: string;
  readonly trouble: ApiError | null;
  readonly onChange: (value: string) => void;
}) {
  const { field, value, trouble, onChange } = props;
  const { label, unit, hint, isBox = false } = field;
  return isBox ? (
    <label class="check">
      <input
        type="checkbox"
        checked={value !== ''}
        onChange={(event) => onChange(event.currentTarget.checked ? 'yes' : '')}
      />
      <span>{label}</span>
    </label>
  ) : (
    <NumberField
      label={label}
      unit={unit}
      length={60}
      value={value}
      {...(hint && { hint })}
      trouble={trouble}
      onChange={onChange}
    />
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
  const is = (key: string): boolean => (typed[key] ?? '') !== '';
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
    latitude_deg: one('latitude_deg'),
    height_m: one('height_m'),
    isPull: is('isPull'),
    massUncertainty_percent: one('massUncertainty_percent'),
    lengthUncertainty_mm: one('lengthUncertainty_mm'),
    radius_mm: one('radius_mm'),
    rod_mm: one('rod_mm'),
    countsPerTurn: one('countsPerTurn'),
    capacity_N: one('capacity_N'),
    stroke_mm: one('stroke_mm'),
    forceLimit_N: one('forceLimit_N'),
    fastest_rev_per_s: one('fastest_rev_per_s'),
    isNewBaseline: is('isNewBaseline'),
  };
}
