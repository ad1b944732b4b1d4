/** Print and save. */
import type { SortView } from "../engine/types";
import { Tile } from "../part/tile";
import { saveDocument, savePens, saveWorkbook } from "../store/save";
import { en } from "../text/en";
import { printPens } from "./print";

/** Everything that leaves the page, and it leaves by the person's hand. */
export function Out({ view }: { view: SortView }) {
  const filled = view.pens.filter((pen) => pen.count > 0);
  return (
    <section class="out" aria-labelledby="out-title">
      <h2 id="out-title">{en.result.tabs.out}</h2>
      <div class="acts">
        <button type="button" class="main" onClick={() => printPens(null)}>
          {en.out.print}
        </button>
        <button type="button" class="plain" onClick={() => void savePens(null)}>
          {en.out.saveAll}
        </button>
        <button type="button" class="plain" onClick={() => void saveWorkbook()}>
          {en.out.saveWorkbook}
        </button>
        <button type="button" class="plain" onClick={() => void saveDocument()}>
          {en.out.saveDocument}
        </button>
      </div>
      <p class="quiet">{en.out.printHelp}</p>
      <p class="quiet">{en.out.saveHelp}</p>
      <ul class="each">
        {filled.map((pen) => (
          <li key={pen.name}>
            <Tile name={pen.name} at={view.pens.indexOf(pen)} />
            <p>
              <b>
                {en.result.pen} {pen.name}
              </b>
              <span class="words">{pen.head}</span>
            </p>
            <button
              type="button"
              class="plain"
              aria-label={en.out.printOne(pen.name)}
              onClick={() => printPens(pen.name)}
            >
              {en.out.printing}
            </button>
            <button
              type="button"
              class="plain"
              aria-label={en.out.saveOne(pen.name)}
              onClick={() => void savePens(pen.name)}
            >
              {en.out.saving}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
