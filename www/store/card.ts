/** The rule card: which kind, and what the engine found. */
import { batch, signal } from "@preact/signals";
import type { CardReply, CardRequest, Kind } from "../engine/types";
import { askedAside, onOtherLists } from "./aside";
import { say } from "./screen";
import { given } from "./sort";
import { en } from "../text/en";

/** The kind of card asked for. */
export const kind = signal<Kind>("points");

/** Whether ewes are weighed at the race. */
export const weighed = signal(false);

/** The paper that it is printed on. */
export const paper = signal<"a4" | "a5">("a4");

/** The card on screen; nothing before one was found. */
export const card = signal<CardReply | null>(null);

/** A card in its written form, as the person changes it; nothing where none is being tried. */
export const written = signal<string | null>(null);

/** Cards that were found for these lists, so that going to and fro costs nothing. */
const found = new Map<string, CardReply>();

onOtherLists(() => {
  batch(() => {
    found.clear();
    card.value = null;
    written.value = null;
  });
});

/** Finds the card that is asked for, where it is not found yet. */
export async function findCard(): Promise<void> {
  const key = `${kind.value} ${weighed.value}`;
  const known = found.get(key);
  if (known) {
    show(known);
    return;
  }
  card.value = null;
  const answer = await askCard({ kind: kind.value, weight_classes: weighed.value });
  if (!answer) return;
  found.set(key, answer);
  if (key === `${kind.value} ${weighed.value}`) show(answer);
}

/** Tries the card as it is written. */
export async function tryCard(): Promise<void> {
  if (written.value === null) return;
  const answer = await askCard({
    kind: kind.value,
    weight_classes: weighed.value,
    tried: written.value,
  });
  if (answer) show(answer);
}

function askCard(request: CardRequest): Promise<CardReply | undefined> {
  const flock = given();
  if (!flock) return Promise.resolve(undefined);
  return askedAside(en.busy.card, { ask: "card", ...flock, card: request });
}

function show(answer: CardReply): void {
  card.value = answer;
  if (answer.kind === "card") say(answer.view.title);
  else say(answer.kind === "impossible" ? answer.view.headline : answer.headline);
}
