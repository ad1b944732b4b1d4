/** The reader on a cable: chosen once, opened by itself from then on. */
import { canEnter } from "../../store/journal/journal";
import {
  baud,
  BAUDS,
  cable,
  chooseCable,
  hasCable,
  leaveCable,
  openKnown,
  setBaud,
} from "../../store/journal/cable";
import { en } from "../../text/en";

const words = en.race.cable;

/** The section; nothing in browsers that have no serial ports. */
export function Cable() {
  if (!hasCable()) return null;
  const { state, detail } = cable.value;
  const isOpen = state === "open" || state === "back";
  return (
    <section class="race-cable">
      <h2>{words.title}</h2>
      <p>{words.help}</p>
      <fieldset class="race-ways">
        <legend>{words.baud}</legend>
        {BAUDS.map((of) => (
          <button key={of} type="button" aria-pressed={baud.value === of} onClick={() => void setBaud(of)}>
            {of}
          </button>
        ))}
      </fieldset>
      <div class="race-acts-row">
        {isOpen ? (
          <button type="button" class="plain" onClick={() => void leaveCable()}>
            {words.stop}
          </button>
        ) : (
          <button type="button" class="main" disabled={!canEnter.value} onClick={() => void chooseCable()}>
            {words.choose}
          </button>
        )}
        {(state === "lost" || state === "failed") && (
          <button type="button" class="plain" onClick={() => void openKnown()}>
            {words.again}
          </button>
        )}
      </div>
      <p role="status">
        {isOpen ? words.open : state === "lost" ? words.lost : state === "failed" ? words.failed(detail) : ""}
      </p>
    </section>
  );
}
