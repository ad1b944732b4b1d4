/** From the race to the sort, and the invented lists. */
import { batch, signal } from "@preact/signals";
import { ask } from "../../engine/call";
import type { Lists } from "../../engine/race";
import type { Stands } from "../../engine/types";
import { en } from "../../text/en";
import { closeRoom, openRoom } from "../back";
import { clear, files } from "../files";
import { regroup } from "../regroup";
import { demo, set, sortOwn, view as sorted } from "../sort";
import { askRace, change, deviceName, inTurn, now, settings, store, view } from "./journal";

/** Who stands where, for print; only while it is printed. */
export const stands = signal<Stands | null>(null);

/** Prints the list of each pen as the ewes stand. */
export async function printStands(): Promise<void> {
  stands.value = await askRace({ ask: "race stands" });
  print();
}

/** Sorts what stands behind each way into its pens, and enters it. What came of it, in words. */
export function divide(): Promise<string> {
  return inTurn(async () => {
    const at = now();
    const { reply, words } = await askRace({
      ask: "race divide",
      request: { device: deviceName(), now: at },
    });
    if (reply?.kind === "refused") return reply.problems.map(({ message }) => message).join(" ");
    if (reply?.kind === "appended" && !(await store(reply.lines))) return "";
    view.value = await askRace({ ask: "race view", device: deviceName(), now: at });
    return words;
  });
}

/** From where they stand: the room of moves, with the flock that was entered. */
export async function handToMoves(): Promise<void> {
  const { csv } = await askRace({ ask: "race stands" });
  await handToSort();
  if (sorted.value === null) return;
  openRoom("regroup");
  await regroup({ name: en.race.after.stood, words: "", atRace: true }, [new TextEncoder().encode(csv)]);
}

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
