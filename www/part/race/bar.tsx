/** What stands over the race: where one is, how it goes, undo, and the ways out. */
import { closeRoom } from "../../store/back";
import { isNight, scheme, switchScheme } from "../../store/screen";
import { canEnter, putAside, resumed, view } from "../../store/journal/journal";
import { lookBeside, part, undoLast } from "../../store/journal/race";
import { loud } from "../../store/journal/signal";
import { en } from "../../text/en";

/** The bar. */
export function Bar() {
  const shown = view.value;
  const night = scheme.value ? scheme.value === "night" : isNight();
  const last = shown?.last_act ?? null;
  // In the bar: a notice would push the pens off the screen.
  const back = shown && canEnter.value ? resumed.value : "";
  return (
    <header class="race-bar">
      <button type="button" class="plain" onClick={closeRoom}>
        {en.race.leave}
      </button>
      <p class={back ? "race-run back" : "race-run"}>
        <b>{shown?.today_words ?? en.race.title}</b>
        <span role={back ? "status" : undefined}>
          {back || [shown?.rate, shown?.flock].filter(Boolean).join(" · ")}
        </span>
      </p>
      {part.value === "gate" ? (
        <>
          <button
            type="button"
            class="plain undo"
            disabled={!last || !canEnter.value}
            aria-label={last ? en.race.undoes(last.words) : en.race.nothingToUndo}
            onClick={() => void undoLast()}
          >
            {en.race.undo}
          </button>
          <button type="button" class="plain" onClick={() => void lookBeside("acts")}>
            {en.race.acts}
          </button>
          <button type="button" class="plain" onClick={() => void lookBeside("more")}>
            {en.race.more}
          </button>
        </>
      ) : (
        <>
          <button type="button" class="main" onClick={() => (part.value = "gate")}>
            {en.race.back}
          </button>
          <button
            type="button"
            class="plain"
            aria-pressed={loud.value}
            onClick={() => {
              loud.value = !loud.value;
              void putAside("loud", loud.value);
            }}
          >
            {en.race.sound}
          </button>
          <button type="button" class="plain" aria-pressed={night} onClick={switchScheme}>
            {en.night}
          </button>
        </>
      )}
    </header>
  );
}
