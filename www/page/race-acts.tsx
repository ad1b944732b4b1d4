/** The last acts, each to be undone or brought back. */
import type { RaceView } from "../engine/types";
import { canEnter } from "../store/journal/journal";
import { undoAct } from "../store/journal/race";
import { en } from "../text/en";

/** The list. */
export function Acts({ view }: { view: RaceView }) {
  return (
    <section class="race-page">
      <h2>{en.race.acts}</h2>
      <ul class="race-acts">
        {view.acts.map((act) => (
          <li key={act.act} class={act.undone ? "undone" : ""}>
            <p>
              <span class="quiet">{act.time ?? act.day}</span> {act.words}
              {act.undone && <b> ({en.race.isUndone})</b>}
            </p>
            <button
              type="button"
              class="plain"
              disabled={!canEnter.value}
              aria-label={`${act.undone ? en.race.bringBack : en.race.undo}: ${act.words}`}
              onClick={() => void undoAct(act.act)}
            >
              {act.undone ? en.race.bringBack : en.race.undo}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
