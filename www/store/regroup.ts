/** Where the ewes stood, and which moves are worth making from there. */
import { batch, signal } from "@preact/signals";
import type { RegroupReply } from "../engine/types";
import { askedAside, onOtherLists } from "./aside";
import type { Picked } from "./files";
import { say } from "./screen";
import { given } from "./sort";
import { en } from "../text/en";

/** Where the old pens come from; `atRace`: they are those of the journal, and moves can be entered there. */
export interface Old {
  name: string;
  words: string;
  atRace?: true;
}

/** The lists of the old pens, what to call them, and how they came about. */
export const old = signal<Old | null>(null);

/** The last answer. */
export const regrouped = signal<RegroupReply | null>(null);

onOtherLists(() => {
  batch(() => {
    old.value = null;
    regrouped.value = null;
  });
});

/** Takes the person's lists, one file or one for each pen. */
export async function regroupFiles(list: Iterable<File>): Promise<void> {
  const picked: Picked[] = await Promise.all(
    [...list].map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) })),
  );
  if (picked.length === 0) return;
  await regroup(
    { name: picked.map(({ name }) => name).join(", "), words: "" },
    picked.map(({ bytes }) => bytes),
  );
}

/** Takes the demo's invented old pens. */
export async function regroupDemo(): Promise<void> {
  const found = await askedAside(en.busy.inventing, { ask: "old pens" });
  if (!found) return;
  await regroup({ name: found.name, words: found.words }, [new TextEncoder().encode(found.list)]);
}

/** Takes lists of where they stand, called so. */
export async function regroup(from: Old, lists: Uint8Array[]): Promise<void> {
  const flock = given();
  if (!flock) return;
  const answer = await askedAside(en.busy.regrouping, { ask: "regroup", ...flock, lists });
  if (!answer) return;
  batch(() => {
    old.value = from;
    regrouped.value = answer;
  });
  say(answer.kind === "regrouped" ? answer.view.advice : headline(answer));
}

function headline(answer: Exclude<RegroupReply, { kind: "regrouped" }>): string {
  return answer.kind === "impossible" ? answer.view.headline : answer.headline;
}

let asking = false;
let next: number | null = null;

/** Lists the moves of another point. One question at a time, and only the last that was wished for. */
export async function listMoves(moves: number): Promise<void> {
  next = moves;
  if (asking) return;
  asking = true;
  while (next !== null) {
    const wanted: number = next;
    next = null;
    const view = await askedAside("", { ask: "regroup moves", moves: wanted });
    if (view && regrouped.value?.kind === "regrouped") {
      regrouped.value = { kind: "regrouped", view };
      say(view.listed_words);
    }
  }
  asking = false;
}
