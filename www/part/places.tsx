/** What each pen would mean for a ewe, with the way to keep her there. */
import type { EweView, SortView } from "../engine/types";
import { busy, keep, letGo, settings } from "../store/sort";
import { en } from "../text/en";
import { Tile } from "./tile";

/** One row a pen. */
export function Places({ ewe, view }: { ewe: EweView; view: SortView }) {
  const keptIn = settings.value?.keep?.find(({ tag }) => tag === ewe.tag)?.pen;
  return (
    <ul class="places">
      {ewe.places.map((place) => {
        const at = view.pens.findIndex(({ name }) => name === place.pen);
        const kept = keptIn === place.pen;
        return (
          <li key={place.pen} class={place.here ? "here" : ""}>
            <Tile name={place.pen} at={Math.max(at, 0)} size={48} />
            <p>
              <b>
                {en.result.pen} {place.pen}
              </b>
              {kept && <span class="tag">{en.ewe.keptHere}</span>}
              <span class="words">{place.words}</span>
            </p>
            {place.allowed && !kept && (
              <button
                type="button"
                class="plain"
                aria-label={en.ewe.keepIn(place.pen)}
                disabled={busy.value !== ""}
                onClick={() => void keep({ tag: ewe.tag, pen: place.pen })}
              >
                {en.ewe.keep}
              </button>
            )}
            {kept && (
              <button
                type="button"
                class="plain"
                disabled={busy.value !== ""}
                onClick={() => void letGo(ewe.tag)}
              >
                {en.ewe.letGo}
              </button>
            )}
          </li>
        );
      })}
    </ul>
  );
}
