import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { fromNewtonPerMetre, type SpringRateUnit } from '../../../analysis/index.js';
import type { ApiError, ShelfBody } from '../../server/api.js';
import { go } from '../address.js';
import { fetchBody } from '../api.js';
import { BuildField } from './pair-choice.js';
import { RecordingChoice } from './recording-choice.js';
import { type, typed } from './typed.js';
import { RateUnitField, rateUnit, TypedField } from './typed-field.js';
import { troubleAt } from './use-answer.js';

/** What counts while nothing is typed; common sizes of small trucks, no source. */
export const usualCorner = { travel_mm: '25', motion_ratio: '1', drop_mm: '100' } as const;

/** The corner and its springs, as typed. */
export function CornerFields({
  have,
  trouble,
}: {
  readonly have: number;
  readonly trouble: ApiError | null;
}) {
  return (
    <form class="drill-form" onSubmit={(event) => event.preventDefault()}>
      <div class="fields">
        <BuildField
          label="The shock as measured"
          id={have}
          onChange={(id) => go({ have: id }, 'replace')}
          trouble={troubleAt(trouble, 'have')}
        />
        <TypedField name="mass_g" label="Mass that this corner carries" unit="g" trouble={trouble} />
        <TypedField
          name="travel_mm"
          label="Travel of the shock"
          unit="mm"
          usual={usualCorner.travel_mm}
          trouble={trouble}
        />
        <TypedField
          name="motion_ratio"
          label="Motion ratio"
          unit=""
          usual={usualCorner.motion_ratio}
          hint="Shock travel over wheel travel: 1 upright on the axle."
          trouble={trouble}
        />
        <TypedField
          name="drop_mm"
          label="Lands from"
          unit="mm"
          usual={usualCorner.drop_mm}
          trouble={trouble}
        />
      </div>
      <Springs trouble={trouble} />
      <details
        open={(['unsprung_g', 'tyre_rate', 'ratio_slope_per_m'] as const).some((name) => typed(name) !== '')}
      >
        <summary>Wheel, tyre, and a motion ratio that changes</summary>
        <div class="fields">
          <TypedField
            name="unsprung_g"
            label="Mass of wheel and axle share"
            unit="g"
            hint="Counts with the tyre’s rate."
            trouble={trouble}
          />
          <TypedField name="tyre_rate" label="Rate of the tyre" unit={rateUnit()} trouble={trouble} />
          <TypedField
            name="ratio_slope_per_m"
            label="Change of the motion ratio"
            unit="per m of wheel travel"
            trouble={trouble}
          />
        </div>
      </details>
    </form>
  );
}

function Springs({ trouble }: { readonly trouble: ApiError | null }) {
  const shelf = useSignal<ShelfBody['springs']>([]);
  useEffect(() => {
    // Without a shelf every rate can still be typed.
    fetchBody<ShelfBody>('/api/shelf').then(
      ({ springs }) => (shelf.value = springs),
      () => {},
    );
  }, []);
  const unit = rateUnit();
  return (
    <fieldset>
      <legend>Springs</legend>
      <div class="fields">
        <RateUnitField />
        <RecordingChoice
          name="pull"
          label="Present spring"
          procedure="spring-pull"
          value={typed('pull')}
          none="its rate is typed"
          trouble={trouble}
        />
        {typed('pull') === '' && (
          <TypedField name="rate" label="Rate of the present spring" unit={unit} trouble={trouble} />
        )}
        <TypedField
          name="preload_N"
          label="Preload"
          unit="N"
          hint="Of spring and gas at full extension. Empty: as pulled, or none."
          trouble={trouble}
        />
        <RecordingChoice
          name="proposed_pull"
          label="Proposed spring"
          procedure="spring-pull"
          value={typed('proposed_pull')}
          none="its rate is typed"
          trouble={trouble}
        />
        {typed('proposed_pull') === '' && shelf.value.length > 0 && (
          <label class="field">
            <span>Proposed, from the shelf</span>
            <select onChange={({ currentTarget }) => take(currentTarget.value)}>
              <option value="">none</option>
              {shelf.value.map(({ name, rate_N_per_mm }) => (
                <option key={name} value={rate_N_per_mm}>
                  {name}
                </option>
              ))}
            </select>
          </label>
        )}
        {typed('proposed_pull') === '' && (
          <TypedField
            name="proposed_rate"
            label="Rate of the proposed spring"
            unit={unit}
            trouble={trouble}
          />
        )}
        <TypedField
          name="proposed_preload_N"
          label="Preload of the proposed spring"
          unit="N"
          hint="Empty: as much as the present one’s."
          trouble={trouble}
        />
      </div>
    </fieldset>
  );

  function take(rate_N_per_mm: string): void {
    const rate = fromNewtonPerMetre(1e3 * Number(rate_N_per_mm), unit as SpringRateUnit);
    type({ proposed_rate: rate_N_per_mm === '' ? '' : String(Number(rate.toPrecision(4))) });
  }
}
