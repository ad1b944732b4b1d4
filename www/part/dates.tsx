/** How dates are meant whose day and month could be either way round: only a person can say. */
import type { DateOrder, DateQuestion } from "../engine/types";

/** The question with its answers. */
export function Dates(props: { question: DateQuestion; busy: boolean; choose: (order: DateOrder) => void }) {
  const { question, busy, choose } = props;
  return (
    <fieldset class="question">
      <legend>{question.question}</legend>
      {question.answers.map((answer) => (
        <button
          type="button"
          class="plain"
          key={answer.order}
          disabled={busy}
          onClick={() => choose(answer.order)}
        >
          {answer.words}
        </button>
      ))}
    </fieldset>
  );
}
