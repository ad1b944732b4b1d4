/** The device's own way back leads from a sheet to the pens and from a result to the lists, not off the page. */
import { effect } from "@preact/signals";
import { closeEwe, ewe, screen } from "./screen";
import { toStart } from "./sort";

let guarded = false;
let cameFrom: "start" | "result" = "start";
let toSheet = false;

const NEED = "#need";

/** Whether the address asks for the room about one ewe. */
export const wantsNeed = () => location.hash === NEED;

/** Begins to watch. One entry of the history stands guard as long as there is a result. */
export function watchBack(): void {
  effect(() => {
    if (screen.value === "result") guard();
  });
  addEventListener("popstate", () => {
    guarded = false;
    if (screen.value === "need") {
      leave();
      return;
    }
    if (screen.value !== "result" || wantsNeed()) return;
    if (!ewe.value) {
      toStart();
      return;
    }
    closeEwe();
    guard();
  });
}

/** Opens the room about one ewe; the address says so, and the way back leads to where it was opened. */
export function openNeed(): void {
  if (screen.value === "need") return;
  // An address that was typed must not be met again on the way back.
  if (wantsNeed()) history.replaceState(null, "", plain());
  cameFrom = screen.value;
  guard();
  history.replaceState({ guard: true }, "", NEED);
  screen.value = "need";
}

/** Leaves it by its button. */
export function closeNeed(): void {
  history.replaceState({ guard: true }, "", plain());
  leave();
}

/** Whether a sheet comes into sight because somebody left the room about one ewe; told once. */
export function cameBack(): boolean {
  const did = toSheet;
  toSheet = false;
  return did;
}

function leave(): void {
  toSheet = cameFrom === "result" && ewe.value !== null;
  screen.value = cameFrom;
  requestAnimationFrame(() => document.getElementById("to-need")?.focus());
}

function plain(): string {
  return location.pathname + location.search;
}

function guard(): void {
  if (!guarded) history.pushState({ guard: true }, "");
  guarded = true;
}
