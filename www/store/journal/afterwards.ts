/** From the race to the sort, and the invented lists. */
import { batch } from "@preact/signals";
import { ask } from "../../engine/call";
import type { Lists } from "../../engine/race";
import { closeRoom } from "../back";
import { clear, files } from "../files";
import { demo, set, sortOwn } from "../sort";
import { askRace, change, settings } from "./journal";

/** Hands the flock that was entered to the sort, which settles it. */
export async function handToSort(): Promise<void> {
  const lists = await askRace({ ask: "race lists" });
  const known = settings.value;
  if (lists.pens === null || !known) return;
  const text = new TextEncoder();
  batch(() => {
    clear();
    demo.value = null;
    files.flock.value = { name: "race-flock.csv", bytes: text.encode(lists.flock) };
    files.pens.value = { name: "race-pens.csv", bytes: text.encode(lists.pens ?? "") };
    if (lists.groups !== null)
      files.groups.value = { name: "race-groups.csv", bytes: text.encode(lists.groups) };
  });
  set({ on: known.on, system: known.system });
  closeRoom();
  await sortOwn();
}

/** The invented lists, and the day that goes with them. */
export async function demoLists(): Promise<{ lists: Lists; name: string } | null> {
  const found = await ask({ ask: "demo" });
  // Every invented ewe has her group's days; the first due day is only for ewes without one.
  await change({ on: found.on, first_due: found.on });
  const text = new TextEncoder();
  const lists = {
    flock: text.encode(found.flock),
    pens: text.encode(found.pens),
    groups: text.encode(found.groups),
  };
  return { lists, name: found.name };
}
