/** Who stands where, pen by pen, and taking out whoever left. */
import { useState } from "preact/hooks";
import type { Name, PenSheet } from "../../engine/types";
import { askRace, canEnter } from "../../store/journal/journal";
import { leavePens, type LeftPens } from "../../store/journal/leave";
import { undoAct } from "../../store/journal/race";
import { en } from "../../text/en";

const words = en.race.out;

/** The lists, read anew whenever they are opened. */
export function Sheets() {
  const [sheets, setSheets] = useState<PenSheet[]>([]);
  const [left, setLeft] = useState<LeftPens>({ words: "", act: null });
  const load = async () => setSheets((await askRace({ ask: "race stands" })).sheets);
  const leave = async (ewes: readonly Name[]) => {
    setLeft(await leavePens(ewes));
    await load();
  };
  const undo = async (act: string) => {
    await undoAct(act);
    setLeft({ words: words.undone, act: null });
    await load();
  };
  const { act } = left;
  return (
    <>
      <details onToggle={(event) => (event.currentTarget.open ? void load() : setSheets([]))}>
        <summary>{words.title}</summary>
        <p>{sheets.length > 0 ? words.help : words.nobody}</p>
        {sheets.map((sheet) => (
          <PenList key={sheet.pen} sheet={sheet} leave={(ewes) => void leave(ewes)} />
        ))}
      </details>
      <p role="status">{left.words}</p>
      {act !== null && (
        <button type="button" class="plain" disabled={!canEnter.value} onClick={() => void undo(act)}>
          {en.race.undo}
        </button>
      )}
    </>
  );
}

function PenList({ sheet, leave }: { sheet: PenSheet; leave: (ewes: readonly Name[]) => void }) {
  const names = sheet.ewes.flatMap(({ name }) => (name === null ? [] : [name]));
  return (
    <section class="race-sheet">
      <h3>
        {en.race.pen} {sheet.pen}: {sheet.head}
      </h3>
      <ul class="race-sheet-ewes">
        {sheet.ewes.map(({ tag, name }) => (
          <li key={tag}>
            <span>{tag}</span>
            <button
              type="button"
              class="plain"
              disabled={name === null || !canEnter.value}
              aria-label={words.one(tag, sheet.pen)}
              onClick={() => name !== null && leave([name])}
            >
              {words.out}
            </button>
          </li>
        ))}
      </ul>
      <button type="button" class="plain" disabled={!canEnter.value} onClick={() => leave(names)}>
        {words.all(sheet.pen)}
      </button>
    </section>
  );
}
