/** The device's own way back leads from a sheet to the pens and from a result to the lists, not off the page. */
import { effect } from "@preact/signals";
import { leaveAside } from "./aside";
import { picked, putDown } from "./hand";
import { closeEwe, ewe, isRoom, ROOMS, screen, type Room } from "./screen";
import { toStart, view } from "./sort";

let guarded = false;
let cameFrom: "start" | "result" = "start";
let toSheet = false;

/** The room that the address asks for, if any. */
export const wantedRoom = (): Room | null => ROOMS.find((room) => location.hash === `#${room}`) ?? null;

/** Begins to watch. One entry of the history stands guard as long as there is a result. */
export function watchBack(): void {
  effect(() => {
    if (screen.value === "result") guard();
  });
  addEventListener("popstate", () => {
    guarded = false;
    if (isRoom(screen.value)) {
      leave();
      return;
    }
    if (screen.value !== "result" || wantedRoom()) return;
    if (picked.value) {
      putDown();
      guard();
      return;
    }
    if (!ewe.value) {
      toStart();
      return;
    }
    closeEwe();
    guard();
  });
}

/** Opens a room; the address says so, and the way back leads to where the first was opened. */
export function openRoom(room: Room): void {
  if (screen.value === room) return;
  // An address that was typed must not be met again on the way back.
  if (wantedRoom() && !isRoom(screen.value)) history.replaceState(null, "", plain());
  if (!isRoom(screen.value)) cameFrom = screen.value;
  leaveAside();
  guard();
  history.replaceState({ guard: true }, "", `#${room}`);
  screen.value = room;
}

/** Leaves it by its button. */
export function closeRoom(): void {
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
  const left = screen.value;
  leaveAside();
  toSheet = left === "need" && cameFrom === "result" && ewe.value !== null;
  screen.value = left !== "need" && left !== "ration" && view.value ? "result" : cameFrom;
  requestAnimationFrame(() => document.getElementById(`to-${left}`)?.focus());
}

function plain(): string {
  return location.pathname + location.search;
}

function guard(): void {
  if (!guarded) history.pushState({ guard: true }, "");
  guarded = true;
}
