/** How many pens: what the engine found for these lists. */
import { batch, signal } from "@preact/signals";
import type { PenCountReply } from "../engine/types";
import { askedAside, onOtherLists } from "./aside";
import { say } from "./screen";
import { given } from "./sort";
import { en } from "../text/en";

/** Which pens are looked at: those that stand, or equal ones yet to be built. */
export const shed = signal<"standing" | "equal">("standing");

/** The answer; nothing before it was asked for. */
export const counted = signal<PenCountReply | null>(null);

/** The number looked at, by its place among the points. */
export const at = signal(0);

/** Answers for these lists, so that going to and fro costs nothing. */
const found = new Map<string, PenCountReply>();

onOtherLists(() => {
  found.clear();
  counted.value = null;
});

/** Asks, where it is not answered yet. */
export async function countPens(): Promise<void> {
  const flock = given();
  if (!flock) return;
  const asked = shed.value;
  const known = found.get(asked);
  if (known) {
    show(known);
    return;
  }
  counted.value = null;
  const answer = await askedAside(en.busy.counting, {
    ask: "pen count",
    ...flock,
    areBuilt: asked === "standing",
  });
  if (!answer) return;
  found.set(asked, answer);
  if (asked === shed.value) show(answer);
}

function show(answer: PenCountReply): void {
  if (answer === counted.value) return;
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
