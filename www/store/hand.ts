/** Moving one ewe by hand: picked up with one tap, put down with the next. */
import { batch, signal } from "@preact/signals";
import type { MoveReply, PickedView } from "../engine/types";
import { say } from "./screen";
import { asked, failure, reply, set } from "./sort";
import { en } from "../text/en";

/** The ewe in hand, with what each pen would mean for her. */
export const picked = signal<PickedView | null>(null);

// Another picture, another place: nobody stays in hand.
reply.subscribe(() => {
  picked.value = null;
});

/** Picks a ewe up, or puts her down where she is in hand already. By keys, the focus goes to a pen that takes her. */
export async function pickUp(tag: string, byKeys: boolean): Promise<void> {
  if (picked.value?.tag === tag) {
    putDown();
    return;
  }
  const found = await asked("", { ask: "picked", tag });
  if (found === null) failure.value = en.ewe.missing(tag);
  if (!found) return;
  picked.value = found;
  say(found.said);
  if (byKeys) focusSoon(".put button:not(.down)", ".hand button");
}

/** Puts her down where she stands. */
export function putDown(): void {
  const tag = picked.value?.tag;
  if (tag === undefined) return;
  picked.value = null;
  say(en.hand.wasPutDown(tag));
  focusMark(tag);
}

/** Puts the ewe in hand into a pen; nobody else moves. */
export async function putInto(pen: string): Promise<void> {
  const tag = picked.value?.tag;
  if (tag === undefined) return;
  const moved = await asked(en.busy.moving, { ask: "put", tag, pen });
  if (takeOver(moved)) focusMark(tag);
}

/** Takes the last move back. */
export async function takeBack(): Promise<void> {
  takeOver(await asked(en.busy.moving, { ask: "take back" }));
}

function takeOver(moved: MoveReply | null | undefined): boolean {
  if (!moved) return false;
  if (moved.kind === "refused") {
    failure.value = `${moved.problem.message} ${moved.problem.hint}`;
    return false;
  }
  batch(() => {
    reply.value = { kind: "sorted", view: moved.view };
    set({ keep: moved.keep });
  });
  say(moved.said);
  return true;
}

function focusMark(tag: string): void {
  focusSoon(`.mark[data-tag="${CSS.escape(tag)}"]`);
}

/** Gives the focus to the first of these that is there once the screen is drawn. */
function focusSoon(...wanted: string[]): void {
  requestAnimationFrame(() =>
    requestAnimationFrame(() => {
      for (const selector of wanted) {
        const found = document.querySelector<HTMLElement | SVGElement>(selector);
        if (found) {
          found.focus();
          return;
        }
      }
    }),
  );
}
