/** How many pens: what the engine found for these lists. */
import { batch, signal } from "@preact/signals";
import type { PenCountReply } from "../engine/types";
import { askedAside, onOtherLists } from "./aside";
import { say } from "./screen";
import { given } from "./sort";
import { en } from "../text/en";

/** The answer; nothing before it was asked for. */
export const counted = signal<PenCountReply | null>(null);

/** The number looked at, by its place among the points. */
export const at = signal(0);

onOtherLists(() => {
  counted.value = null;
});

/** Asks, where it is not answered yet. */
export async function countPens(): Promise<void> {
  const flock = given();
  if (!flock || counted.value) return;
  const answer = await askedAside(en.busy.counting, { ask: "pen count", ...flock });
  if (!answer) return;
  batch(() => {
    counted.value = answer;
    if (answer.kind === "counted")
      at.value = Math.max(
        answer.view.points.findIndex((point) => point.is_best),
        0,
      );
  });
  if (answer.kind === "counted") say(answer.view.advice);
  else say(answer.kind === "impossible" ? answer.view.headline : answer.headline);
}
