/** Questions to the second engine, and what it is doing: each may be left without harm to the sort. */
import { batch, computed, signal, untracked } from "@preact/signals";
import { askAside, stopAside, Stopped, type Aside } from "../engine/call";
import { files } from "./files";
import { failure, settings } from "./sort";

/** What the second engine is doing, in words; empty where it rests. */
export const thinking = signal("");

/** Asks; nothing comes back where it failed, was stopped, or where the lists changed meanwhile. */
export async function askedAside<Q extends Aside>(words: string, question: Q) {
  const of = ground.value;
  const answer = await askedAlone(words, question);
  return ground.value === of ? answer : undefined;
}

/** The same of what does not stand on the lists. */
export async function askedAlone<Q extends Aside>(words: string, question: Q) {
  batch(() => {
    failure.value = "";
    thinking.value = words;
  });
  try {
    return await askAside(question);
  } catch (error) {
    if (!(error instanceof Stopped)) failure.value = error instanceof Error ? error.message : String(error);
    return undefined;
  } finally {
    thinking.value = "";
  }
}

/** Leaves off. */
export function leaveAside(): void {
  stopAside();
  thinking.value = "";
}

/** What every answer here stands on: the lists and the settings, but not who is kept by hand. */
const ground = computed(() => ({
  flock: files.flock.value,
  pens: files.pens.value,
  groups: files.groups.value,
  settings: plain.value,
}));
const plain = computed(() => JSON.stringify({ ...settings.value, keep: [] }));

/** Does something whenever the lists or the settings become others. */
export function onOtherLists(forget: () => void): void {
  ground.subscribe(() => untracked(forget));
}
