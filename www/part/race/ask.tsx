/** A question before something is entered: in its own place, with two answers; nothing is covered that is needed. */
import { useEffect, useRef } from "preact/hooks";
import { asks } from "../../store/journal/question";
import { en } from "../../text/en";

/** The question, where there is one. */
export function Ask() {
  const question = asks.value;
  const yes = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (question) yes.current?.focus();
  }, [question]);
  if (!question) return null;
  return (
    <section class="race-ask" role="alert" aria-label={en.race.title}>
      {question.words.map((words) => (
        <p key={words}>{words}</p>
      ))}
      <div>
        <button ref={yes} type="button" class="main" onClick={() => question.done(true)}>
          {question.yes}
        </button>
        <button type="button" class="plain" onClick={() => question.done(false)}>
          {question.no}
        </button>
      </div>
    </section>
  );
}
