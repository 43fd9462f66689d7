import { useEffect } from 'preact/hooks';
import { address, type CareQuestion, careQuestions, go } from '../address.js';
import { PlaceLink } from '../pieces/place-link.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { CalibrateView } from './calibrate-view.js';
import { CheckView } from './check-view.js';
import { GuidedSteps } from './guided-steps.js';
import { HistoryView } from './history-view.js';
import { ProfileView } from './profile-view.js';
import { care, careTrouble, followGuided, guided, refreshCare } from './state.js';

const asked: Readonly<Record<CareQuestion, string>> = {
  check: 'Is it as it was?',
  calibrate: 'What do its counts mean?',
  history: 'What was in force when?',
  profile: 'What are its limits?',
};

/** Looking after the rig: one question at a time. */
export function Care() {
  const { about, rig } = address.value;
  useEffect(() => void followGuided(), []);
  useEffect(() => void refreshCare(), [rig]);
  if (careTrouble.value) return <Trouble error={careTrouble.value} again={() => void refreshCare()} />;
  if (!care.value) return <Waiting doing="Looking up the rig" />;
  const known = care.value;
  return (
    <div class="care">
      <nav aria-label="Questions" class="questions">
        <ul>
          {careQuestions.map((name) => (
            <li key={name}>
              <PlaceLink to={{ about: name }} current={name === about}>
                {asked[name]}
              </PlaceLink>
            </li>
          ))}
        </ul>
      </nav>
      {known.rigs.length > 1 && (
        <label class="field which-rig">
          <span>Rig</span>
          <select
            value={known.rig?.id ?? ''}
            onChange={(event) => go({ rig: Number(event.currentTarget.value) })}
          >
            {known.rigs.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
      )}
      {guided.value.phase !== 'idle' && <GuidedSteps now={guided.value} />}
      {about === 'check' && <CheckView rig={known.rig} />}
      {about === 'calibrate' && <CalibrateView rig={known.rig} />}
      {about === 'history' && <HistoryView rig={known.rig} />}
      {about === 'profile' && <ProfileView rig={known.rig} />}
    </div>
  );
}
