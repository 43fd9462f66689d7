import { useEffect } from 'preact/hooks';
import { address, type Question, questions } from '../address.js';
import { loadPlotly } from '../charts/plotly.js';
import { PlaceLink } from '../pieces/place-link.js';
import { CornerQuestion } from './corner.js';
import { DrillQuestion } from './drill.js';
import { MatchQuestion } from './match.js';
import { OilQuestion } from './oil.js';
import { pair } from './pair.js';
import { RemountsQuestion } from './remounts.js';
import { SpringQuestion } from './spring.js';
import { TravelQuestion } from './travel.js';

const asked: Readonly<Record<Question, string>> = {
  match: 'Does it match a target?',
  oil: 'Which oil now?',
  drill: 'Which drill?',
  spring: 'What spring is this?',
  corner: 'How does it ride and land?',
  travel: 'How much travel is there?',
  remounts: 'How many more remounts?',
};

/** What to do with a build next: a question, and its answer. */
export function Next() {
  useEffect(() => void loadPlotly().catch(() => {}), []);
  const { question } = address.value;
  const ofPair = ['match', 'oil', 'drill'].includes(question);
  return (
    <div class="next">
      <nav aria-label="Questions" class="questions">
        <ul>
          {questions.map((name) => (
            <li key={name}>
              <PlaceLink to={{ question: name }} current={name === question}>
                {asked[name]}
              </PlaceLink>
            </li>
          ))}
        </ul>
      </nav>
      {ofPair && !pair.value && <NothingToAsk />}
      {question === 'match' && pair.value && <MatchQuestion pair={pair.value} />}
      {question === 'oil' && pair.value && <OilQuestion pair={pair.value} />}
      {question === 'drill' && pair.value && <DrillQuestion pair={pair.value} />}
      {question === 'spring' && <SpringQuestion />}
      {question === 'corner' && <CornerQuestion />}
      {question === 'travel' && <TravelQuestion />}
      {question === 'remounts' && <RemountsQuestion />}
    </div>
  );
}

function NothingToAsk() {
  return (
    <div class="empty">
      <h1>Nothing to go towards yet.</h1>
      <p>
        Record two builds, one of them the target: then this place says whether the other matches it, and
        which oil or drill brings it there.
      </p>
      <p>
        <PlaceLink to={{ place: 'bench' }} class="action">
          Connect a rig, or play the simulated one
        </PlaceLink>
      </p>
    </div>
  );
}
