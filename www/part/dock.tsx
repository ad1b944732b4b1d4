/** What stays in sight below the pens: the ewe in hand, or the last move and the day. */
import type { SortView } from "../engine/types";
import { picked, putDown, takeBack } from "../store/hand";
import { openEwe } from "../store/look";
import { day } from "../store/screen";
import { busy } from "../store/sort";
import { en } from "../text/en";
import { DaySlider } from "./day";
import { MarkIcon } from "./mark";

/** The dock. */
export function Dock({ view }: { view: SortView }) {
  const held = picked.value;
  if (!held) {
    return (
      <div class="dock">
        {view.by_hand && <Moved words={view.by_hand} />}
        <DaySlider days={view.days} />
      </div>
    );
  }
  const mark = view.pens.flatMap(({ ewes }) => ewes).find(({ tag }) => tag === held.tag);
  return (
    <section class="dock hand" aria-label={en.hand.title}>
      {mark && <MarkIcon ewe={mark} day={day.value} size={26} />}
      <p>
        <b class="figure">{held.tag}</b>
        <span>{held.title}</span>
      </p>
      <button type="button" onClick={() => void openEwe(held.tag)}>
        {en.hand.about}
      </button>
      <button type="button" onClick={putDown}>
        {en.hand.down}
      </button>
    </section>
  );
}

function Moved({ words }: { words: string }) {
  return (
    <section class="moved" aria-label={en.hand.moves}>
      <p>{words}</p>
      <button type="button" disabled={busy.value !== ""} onClick={() => void takeBack()}>
        {en.hand.back}
      </button>
    </section>
  );
}
