/** What was asked of the engine and what it answered. */
import { batch, computed, signal } from "@preact/signals";
import { ask, stop, Stopped, type Flock, type OfSort } from "../engine/call";
import type { DateOrder, DemoFiles, EweView, Keep, Settings, SortReply } from "../engine/types";
import { clear, files, unplaced } from "./files";
import { closeEwe, day, ewe, say, screen, tab } from "./screen";
import { en } from "../text/en";

/** The settings that the next question carries; nothing before the engine has told its own. */
export const settings = signal<Settings | null>(null);

/** The last answer. */
export const reply = signal<SortReply | null>(null);

/** What the engine is doing, in words; empty where it rests. */
export const busy = signal("");

/** Why the engine failed, in words; empty where it did not. */
export const failure = signal("");

/** The demo flock, where it is on screen. */
export const demo = signal<DemoFiles | null>(null);

/** The sort on screen, where there is one. */
export const view = computed(() => (reply.value?.kind === "sorted" ? reply.value.view : null));

/** Whether enough files are there to ask for a sort. */
export const ready = computed(
  () => files.flock.value !== null && files.pens.value !== null && unplaced.value.length === 0,
);

/** Changes some settings; the next sort uses them. */
export function set(change: Partial<Settings>): void {
  settings.value = { ...settings.value, ...change };
}

/** Learns the settings as they are until somebody changes them. */
export async function begin(): Promise<void> {
  const defaults = await asked(en.busy.starting, { ask: "settings" });
  if (defaults) settings.value ??= defaults;
}

/** Opens the demo flock. */
export async function openDemo(): Promise<void> {
  const found = await asked(en.busy.starting, { ask: "demo" });
  if (!found) return;
  const text = new TextEncoder();
  batch(() => {
    clear();
    demo.value = found;
    for (const slot of ["flock", "pens", "groups"] as const) {
      files[slot].value = { name: `${slot}.csv`, bytes: text.encode(found[slot]) };
    }
    settings.value = { ...settings.value, on: found.on, keep: [] };
  });
  await sort();
}

/** The lists in the slots, with the settings; nothing where one that is needed is missing. */
export function given(): Flock | null {
  const { flock, pens, groups } = files;
  if (!flock.value || !pens.value || !settings.value) return null;
  return {
    flock: flock.value.bytes,
    pens: pens.value.bytes,
    groups: groups.value?.bytes ?? null,
    settings: settings.value,
  };
}

/** Sorts what is in the slots. */
export async function sort(): Promise<boolean> {
  const lists = given();
  if (!lists) return false;
  const answer = await asked(en.busy.sorting, { ask: "sort", ...lists });
  if (!answer) return false;
  batch(() => {
    reply.value = answer;
    screen.value = "result";
    if (answer.kind === "sorted") day.value = Math.min(day.value, Math.max(answer.view.days.length - 1, 0));
    else closeEwe();
  });
  const open = ewe.value;
  if (open) ewe.value = (await asked("", { ask: "ewe", tag: open.tag })) ?? null;
  say(answer.kind === "unreadable" ? answer.headline : answer.view.headline);
  return true;
}

/** Sorts the person's own files, from the start. */
export async function sortOwn(): Promise<void> {
  set({ keep: [] });
  day.value = 0;
  tab.value = "pens";
  await sort();
}

/** Answers the question how dates are meant, and sorts. */
export function readDates(dates: DateOrder): Promise<boolean> {
  set({ dates });
  return sort();
}

/** Keeps a ewe in a pen by hand and sorts the rest around her. */
export function keep(place: Keep): Promise<boolean> {
  return keepOnly([...kept().filter(({ tag }) => tag !== place.tag), place]);
}

/** Lets the sort decide about a ewe again. */
export function letGo(tag: string): Promise<boolean> {
  return keepOnly(kept().filter((other) => other.tag !== tag));
}

/** The ewes that the person keeps by hand. */
export function kept(): Keep[] {
  return settings.value?.keep ?? [];
}

/** One ewe, opened; nothing where the engine knows no such ewe. */
export function lookAt(tag: string): Promise<EweView | null | undefined> {
  return asked("", { ask: "ewe", tag });
}

/** Back to the first screen; the demo's files do not stay as if they were somebody's own. */
export function toStart(): void {
  batch(() => {
    if (demo.value) clear();
    demo.value = null;
    closeEwe();
    failure.value = "";
    day.value = 0;
    tab.value = "pens";
    screen.value = "start";
  });
}

/** Ends what the engine is doing. */
export function halt(): void {
  stop();
  busy.value = "";
}

async function keepOnly(list: Keep[]): Promise<boolean> {
  const before = kept();
  set({ keep: list });
  const sorted = await sort();
  if (!sorted) set({ keep: before });
  return sorted;
}

/** Asks the engine and says so on screen; nothing comes back where it failed or was stopped. */
export async function asked<Q extends OfSort>(words: string, question: Q) {
  batch(() => {
    failure.value = "";
    if (words) busy.value = words;
  });
  try {
    return await ask(question);
  } catch (error) {
    if (!(error instanceof Stopped)) failure.value = error instanceof Error ? error.message : String(error);
    return undefined;
  } finally {
    if (words) busy.value = "";
  }
}
