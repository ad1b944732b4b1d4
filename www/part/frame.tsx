/** What stands around every screen. */
import { leaveAside, thinking } from "../store/aside";
import { closeRoom } from "../store/back";
import { isNight, isRoom, scheme, screen, spoken, switchScheme } from "../store/screen";
import { busy, demo, failure, halt, toStart, view } from "../store/sort";
import { en } from "../text/en";
import { Kept } from "./kept";
import { Rooms } from "./rooms";

/** Name, demo sign, and the ways out. */
export function Top() {
  const night = scheme.value ? scheme.value === "night" : isNight();
  return (
    <header class="top">
      <a class="skip" href="#content" onClick={skip}>
        {en.skip}
      </a>
      <p class="name">
        <svg width="44" height="36" viewBox="0 0 44 36" aria-hidden="true">
          <path class="post-line" d="M22,2V34" />
          <circle cx="9" cy="26" r="6" />
          <circle cx="9" cy="11" r="6" />
          <path d="M35,4L42,17H28Z" />
          <path d="M29,20H41V32H29Z" />
        </svg>
        {en.name}
      </p>
      {demo.value && (
        <p class="demo">
          <b>{en.demo.badge}</b> <span>{demo.value.name}</span>
        </p>
      )}
      <div class="ways">
        {screen.value === "result" && (
          <button type="button" class="plain" onClick={toStart}>
            {en.result.back}
          </button>
        )}
        {(screen.value === "need" || (isRoom(screen.value) && !view.value)) && (
          <button type="button" class="plain" onClick={closeRoom}>
            {screen.value === "need" ? en.need.back : en.rooms.leave}
          </button>
        )}
        <button type="button" class="plain" aria-pressed={night} onClick={switchScheme}>
          {en.night}
        </button>
      </div>
      <Rooms />
    </header>
  );
}

/** Moves the focus alone: a change of the address would be a step in the browser's history. */
function skip(event: Event): void {
  event.preventDefault();
  document.getElementById("content")?.focus();
}

/** What the engine is doing, and what went wrong: always in sight, never in the way. */
export function State() {
  const work = busy.value || thinking.value;
  return (
    <>
      <p class="unseen" role="status">
        {work ? en.busy.at(work) : spoken.value}
      </p>
      {work && (
        <div class="state busy">
          <p aria-hidden="true">
            {work}
            <i />
            <i />
            <i />
          </p>
          <button type="button" class="plain" onClick={busy.value ? halt : leaveAside}>
            {en.busy.stop}
          </button>
        </div>
      )}
      {failure.value && (
        <div class="state failed" role="alert">
          <p>
            <b>{en.failed}.</b> {failure.value}
          </p>
          <button type="button" class="plain" onClick={() => (failure.value = "")}>
            {en.dismiss}
          </button>
        </div>
      )}
    </>
  );
}

/** What the page keeps and who is owed thanks. */
export function Foot() {
  return (
    <footer class="foot">
      <p>{en.private}</p>
      <p>{en.foot.type}</p>
      <Kept />
    </footer>
  );
}
