/** The pen: large, with its reason; and the button that enters her. */
import type { Way } from "../../engine/types";
import { Tile } from "../tile";
import { canEnter, view } from "../../store/journal/journal";
import { enter, gate, given, isWritten } from "../../store/journal/race";
import { en } from "../../text/en";

/** A reason of so many letters stands in two lines on a tablet; a longer one in smaller ones, so that all pens stay in sight. */
const TWO_LINES = 87;

/** The pen that is told, or that was given. */
export function Gate() {
  const told = gate.value;
  const done = given.value;
  const pen = told?.kind === "pen" ? told : null;
  return (
    <section class={`race-pen${done ? " done" : told ? "" : " idle"}`} aria-label={en.race.gate}>
      {done ? (
        <Given />
      ) : pen ? (
        <>
          <Where pen={pen.pen} at={pen.at} way={pen.way} />
          <div class={`race-why${pen.reason.length > TWO_LINES ? " long" : ""}`}>
            <p class="race-to" role="status">
              {pen.way && <span class="race-way-words">{pen.way.words}, </span>}
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
          {!told && <p class="quiet">{view.value?.stands_on || en.race.seen}</p>}
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

/** Where she goes: the pen's sign, or the way of the gate that leads there. */
function Where({ pen, at, way }: { pen: string; at: number; way: Way | null }) {
  if (!way) return <Tile name={pen} at={at} size={120} />;
  return (
    <p class="race-way" aria-hidden="true">
      <b>{way.arrow}</b>
      <span>{way.letter}</span>
    </p>
  );
}

function Given() {
  const done = given.value;
  if (!done) return null;
  const into = view.value?.pens.find((pen) => pen.pen === done.pen);
  return (
    <>
      {done.pen !== null && <Where pen={done.pen} at={into?.at ?? 0} way={into?.way ?? null} />}
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
