import { sittingQuestions } from '../../answers/index.js';
import { sittingQuestionWords } from '../../wording/index.js';
import { ask, question } from './sitting.js';

/** What the person wants to know: everything else follows. */
export function QuestionChoice() {
  return (
    <fieldset class="questions">
      <legend class="unseen">What do you want to know?</legend>
      {sittingQuestions.map(({ id }) => {
        const { asks, when } = sittingQuestionWords[id];
        return (
          <label key={id} class="question">
            <input
              type="radio"
              name="question"
              value={id}
              checked={question.value === id}
              onChange={() => ask(id)}
            />
            <span>
              {asks} <span class="when">{when}</span>
            </span>
          </label>
        );
      })}
    </fieldset>
  );
}
