/** What is wrong with her, or decided about her, and a note. */
import type { Mark } from "../../engine/types";
import { parts } from "../../store/journal/parts";
import { lastNote, mark, write } from "../../store/journal/race";
import { en } from "../../text/en";

const MARKS: readonly Mark[] = ["lame", "udder", "prolapse", "keep_apart", "cull"];

/** The marks. */
export function Marks() {
  const [marks, note] = [parts.marks.value, parts.note.value];
  return (
    <div class={`race-marks${marks.length > 0 ? " set" : ""}`}>
      <fieldset>
        <legend class="unseen">{en.race.marks}</legend>
        {MARKS.map((of) => (
          <button key={of} type="button" aria-pressed={marks.includes(of)} onClick={() => mark(of)}>
            {en.race.markWords[of]}
          </button>
        ))}
      </fieldset>
      <label>
        <span class="unseen">{en.race.note}</span>
        <input
          type="text"
          placeholder={en.race.note}
          autocomplete="off"
          value={note}
          onInput={(event) => write({ note: event.currentTarget.value })}
        />
      </label>
      {lastNote.value !== "" && note === "" && (
        <button type="button" class="plain" onClick={() => write({ note: lastNote.value })}>
          {en.race.sameNote}
        </button>
      )}
    </div>
  );
}
