/** One ewe's sheet: why this pen, what is known of her, how her need is worked out, and where else she might go. */
import { useEffect, useRef } from "preact/hooks";
import type { EweView, SortView } from "../engine/types";
import { Arrow } from "../part/day";
import { Places } from "../part/places";
import { Tile } from "../part/tile";
import { Working } from "../part/working";
import { cameBack, openRoom } from "../store/back";
import { openEwe } from "../store/look";
import { beginWith } from "../store/need";
import { closeEwe } from "../store/screen";
import { en } from "../text/en";

/** The sheet. It is a part of the page, no window above it. */
export function EweSheet({ ewe, view }: { ewe: EweView; view: SortView }) {
  const title = useRef<HTMLHeadingElement>(null);
  const sheet = useRef<HTMLElement>(null);
  useEffect(() => {
    // Whoever comes back from her curve finds the button by which they left.
    if (cameBack()) {
      document.getElementById("to-need")?.focus();
      return;
    }
    title.current?.focus();
    sheet.current?.scrollTo(0, 0);
  }, [ewe.tag]);
  const pen = view.pens.find(({ name }) => name === ewe.pen);
  const at = pen?.ewes.findIndex(({ tag }) => tag === ewe.tag) ?? -1;
  const beside = (by: number) => (at < 0 ? undefined : pen?.ewes[at + by]?.tag);
  const go = (by: number) => {
    const tag = beside(by);
    if (tag !== undefined) void openEwe(tag);
  };
  return (
    <aside ref={sheet} class="sheet" aria-labelledby="ewe-title">
      <nav>
        <button type="button" class="plain back" onClick={closeEwe}>
          <Arrow turn={180} />
          <span>{en.ewe.back}</span>
        </button>
        <button type="button" class="plain" disabled={beside(-1) === undefined} onClick={() => go(-1)}>
          {en.ewe.previous}
        </button>
        <button type="button" class="plain" disabled={beside(1) === undefined} onClick={() => go(1)}>
          {en.ewe.next}
        </button>
      </nav>
      <header>
        {pen && <Tile name={pen.name} at={view.pens.indexOf(pen)} />}
        <div>
          <h2 id="ewe-title" ref={title} tabIndex={-1}>
            {en.ewe.title(ewe.tag)}
          </h2>
          <p>{ewe.title}</p>
        </div>
      </header>
      <p class="reason">{ewe.reason}</p>
      <h3>{en.ewe.places}</h3>
      <Places ewe={ewe} view={view} />
      <h3>{en.ewe.facts}</h3>
      <dl class="facts">
        {ewe.facts.map((fact) => (
          <div key={fact.name}>
            <dt>{fact.name}</dt>
            <dd>
              <b class="figure">{fact.value}</b> {fact.note && <span class="quiet">{fact.note}</span>}
            </dd>
          </div>
        ))}
      </dl>
      <h3>{en.ewe.working}</h3>
      <p>
        <button
          type="button"
          class="plain"
          id="to-need"
          onClick={() => {
            beginWith(ewe.question);
            openRoom("need");
          }}
        >
          {en.ewe.curve}
        </button>
      </p>
      <Working lines={ewe.working} />
      <p class="caution">{ewe.caution}</p>
    </aside>
  );
}
