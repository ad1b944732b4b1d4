/** The room of one ration: which ewe, how she is fed, what is tried on the feeds, and the engine's answer. */
import { batch, signal } from "@preact/signals";
import type { FeedTrial, RationQuestion, RationReply, Trying } from "../engine/types";
import { askedAlone } from "./aside";
import { feeds } from "./feeds";
import { say } from "./screen";
import { en } from "../text/en";

/** The question; nothing before the engine said what is usual. */
export const wished = signal<RationQuestion | null>(null);

/** The feeds of the list, and what may be tried. */
export const trying = signal<Trying | null>(null);

/** The answer. */
export const answered = signal<RationReply | null>(null);

/** The answer before anything was tried, in a line. */
export const before = signal("");

/** Takes another list of feeds: nothing is tried on it yet. */
export async function otherFeeds(): Promise<void> {
  const list = feeds.value;
  if (!list) return;
  wished.value ??= (await askedAlone("", { ask: "usual ration" })) ?? null;
  const found = await askedAlone("", { ask: "trying", feeds: list.bytes });
  batch(() => {
    trying.value = found ?? null;
    before.value = "";
    if (wished.value) wished.value = { ...wished.value, trials: [] };
  });
  await reckon();
}

/** Changes the question, and asks anew. */
export async function wish(to: Partial<RationQuestion>): Promise<void> {
  if (!wished.value) return;
  wished.value = { ...wished.value, ...to };
  await reckon();
}

/** What is tried on a feed. */
export const trialOf = (name: string): Partial<FeedTrial> =>
  wished.value?.trials?.find(({ feed }) => feed === name) ?? {};

/** Tries something on a feed. */
export async function tryOn(name: string, to: Partial<FeedTrial>): Promise<void> {
  const others = (wished.value?.trials ?? []).filter(({ feed }) => feed !== name);
  await wish({ trials: [...others, { ...trialOf(name), feed: name, ...to }] });
}

/** Takes back all that was tried. */
export const asItIs = (): Promise<void> => wish({ trials: [] });

let asking: Promise<void> | null = null;
let wanted = 0;

function reckon(): Promise<void> {
  wanted += 1;
  asking ??= reckonAll().finally(() => (asking = null));
  return asking;
}

async function reckonAll(): Promise<void> {
  for (let met = 0; met < wanted;) {
    met = wanted;
    const [list, question] = [feeds.value, wished.value];
    if (!list || !question) return;
    const answer = await askedAlone("", { ask: "ration", feeds: list.bytes, question });
    if (!answer) continue;
    batch(() => {
      answered.value = answer;
      if (answer.kind === "fed" && (question.trials ?? []).length === 0) before.value = answer.view.headline;
    });
    say(
      answer.kind === "refused"
        ? en.plan.refused
        : answer.kind === "fed"
          ? answer.view.headline
          : answer.headline,
    );
  }
}
