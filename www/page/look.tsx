/** Ewes that somebody should look at. */
import type { SortView } from "../engine/types";
import { EweLines } from "../part/ewes";
import { busy, letGo } from "../store/sort";
import { en } from "../text/en";

/** Four lists. */
export function Look({ view }: { view: SortView }) {
  return (
    <section class="look" aria-labelledby="look-title">
      <h2 id="look-title">{en.result.tabs.look}</h2>
      <div class="columns">
        <EweLines
          title={en.lists.badly}
          none={en.lists.noBadly}
          lead={view.badly_fitting_words}
          lines={view.badly_fitting}
        />
        <EweLines title={en.lists.check} none={en.lists.noCheck} lines={view.to_check} />
        <EweLines title={en.lists.apart} none={en.lists.noApart} lines={view.set_apart} closed />
        <EweLines
          title={en.lists.kept}
          none={en.lists.noKept}
          lines={view.kept}
          act={(line) => (
            <button
              type="button"
              class="plain"
              aria-label={en.ewe.letGoOf(line.tag)}
              disabled={busy.value !== ""}
              onClick={() => void letGo(line.tag)}
            >
              {en.ewe.letGo}
            </button>
          )}
        />
      </div>
    </section>
  );
}
