/** The pen: large, with its reason; and the button that enters her. */
import { Tile } from "../tile";
import { canEnter, view } from "../../store/journal/journal";
import { enter, gate, given, isWritten } from "../../store/journal/race";
import { en } from "../../text/en";

/** The pen that is told, or that was given. */
export function Gate() {
  const told = gate.value;
  const done = given.value;
  const pen = told?.kind === "pen" ? told : null;
  return (
    <section class={`race-pen${done ? " done" : ""}`} aria-label={en.race.gate}>
      {done ? (
        <Given />
      ) : pen ? (
        <>
          <Tile name={pen.pen} at={pen.at} size={120} />
          <div class="race-why">
            <p class="race-to" role="status">
              {en.race.pen} <b>{pen.pen}</b>
            </p>
            <p>{pen.reason}</p>
            {pen.runner_up && <p class="quiet">{pen.runner_up.words}</p>}
          </div>
        </>
      ) : (
        <div class="race-why">
          <p class="race-open" role="status">
            {told && told.kind !== "pen" ? told.words : en.race.waits}
          </p>
          {!told && <p class="quiet">{en.race.seen}</p>}
        </div>
      )}
      <button
        type="button"
        class="main go"
        disabled={!isWritten.value || !canEnter.value}
        onClick={() => void enter()}
      >
        {pen ? en.race.go : en.race.enter}
      </button>
    </section>
  );
}

function Given() {
  const done = given.value;
  if (!done) return null;
  const at = view.value?.pens.find((pen) => pen.pen === done.pen)?.at;
  return (
    <>
      {done.pen !== null && <Tile name={done.pen} at={at ?? 0} size={120} />}
      <div class="race-why">
        <p class="race-to">
          {done.pen !== null ? (
            <>
              {en.race.pen} <b>{done.pen}</b>
            </>
          ) : (
            done.called
          )}
        </p>
        <p>
          <b class="saved">✓ {en.race.saved}.</b> {done.words}
        </p>
      </div>
    </>
  );
}
