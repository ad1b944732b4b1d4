/** The device's own way back leads from a sheet to the pens and from a result to the lists, not off the page. */
import { effect } from "@preact/signals";
import { closeEwe, ewe, screen } from "./screen";
import { toStart } from "./sort";

let guarded = false;

/** Begins to watch. One entry of the history stands guard as long as there is a result. */
export function watchBack(): void {
  effect(() => {
    if (screen.value === "result") guard();
  });
  addEventListener("popstate", () => {
    guarded = false;
    if (screen.value !== "result") return;
    if (!ewe.value) {
      toStart();
      return;
    }
    closeEwe();
    guard();
  });
}

function guard(): void {
  if (!guarded) history.pushState({ guard: true }, "");
  guarded = true;
}
