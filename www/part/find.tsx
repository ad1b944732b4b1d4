/** Finds a ewe by her tag: a field and the ewes whose tags hold what is written. */
import { useMemo, useState } from "preact/hooks";
import type { SortView } from "../engine/types";
import { openEwe } from "../store/look";
import { en } from "../text/en";

/** No more hits than a screen holds. */
const SHOWN = 6;

/** The field and its hits. */
export function Find({ view }: { view: SortView }) {
  const [text, setText] = useState("");
  const [at, setAt] = useState(0);
  const wanted = text.trim().toLowerCase();
  const hits = useMemo(() => {
    if (!wanted) return [];
    const all = view.pens.flatMap((pen) => pen.ewes.map((ewe) => ({ ewe, pen: pen.name })));
    const found = all.filter(({ ewe }) => ewe.tag.toLowerCase().includes(wanted));
    const exact = (tag: string) => (tag.toLowerCase() === wanted ? 0 : 1);
    return found.sort((a, b) => exact(a.ewe.tag) - exact(b.ewe.tag));
  }, [view, wanted]);
  const shown = hits.slice(0, SHOWN);
  const open = (index: number) => {
    const hit = shown[index];
    if (!hit) return;
    setText("");
    void openEwe(hit.ewe.tag);
  };
  const key = (event: KeyboardEvent) => {
    const to = { ArrowDown: at + 1, ArrowUp: at - 1 }[event.key];
    if (to !== undefined) {
      event.preventDefault();
      setAt(Math.min(Math.max(to, 0), Math.max(shown.length - 1, 0)));
    } else if (event.key === "Enter") {
      event.preventDefault();
      open(at);
    } else if (event.key === "Escape" && text) {
      event.stopPropagation();
      setText("");
    }
  };
  return (
    <div class="find">
      <label for="find">{en.find.title}</label>
      <input
        id="find"
        type="text"
        role="combobox"
        autocomplete="off"
        spellcheck={false}
        aria-autocomplete="list"
        aria-expanded={shown.length > 0}
        aria-controls="hits"
        {...(shown.length > 0 ? { "aria-activedescendant": `hit-${at}` } : {})}
        value={text}
        onInput={(event) => {
          setText(event.currentTarget.value);
          setAt(0);
        }}
        onKeyDown={key}
      />
      <ul id="hits" role="listbox" aria-label={en.find.hits} hidden={shown.length === 0}>
        {shown.map(({ ewe, pen }, index) => (
          <li
            key={ewe.tag}
            id={`hit-${index}`}
            role="option"
            aria-selected={index === at}
            onClick={() => open(index)}
          >
            <b>{ewe.tag}</b>
            <span>
              {en.result.pen} {pen}
            </span>
            <span class="unseen">{ewe.label}</span>
          </li>
        ))}
      </ul>
      <p role="status" class="quiet">
        {wanted && hits.length === 0 ? en.find.none : ""}
        {hits.length > SHOWN ? en.find.more(hits.length - SHOWN) : ""}
      </p>
    </div>
  );
}
