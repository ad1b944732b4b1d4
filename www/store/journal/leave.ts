/** Ewes who left their pens: no longer on any list, and their room is free. */
import type { Given, Name } from "../../engine/types";
import { en } from "../../text/en";
import { say } from "../screen";
import { askRace, canEnter, deviceName, inTurn, now, store, view } from "./journal";
import { ask } from "./question";

/** What came of it, and the act by which it can be undone. */
export interface LeftPens {
  words: string;
  act: string | null;
}

const NOTHING: LeftPens = { words: "", act: null };

/** Enters that they left, as one act. */
export function leavePens(ewes: readonly Name[]): Promise<LeftPens> {
  return inTurn(async () => {
    if (!canEnter.value) return NOTHING;
    const at = now();
    const request = { device: deviceName(), now: at, ewes: [...ewes] };
    const { reply, words } = await askRace({ ask: "race leave", request });
    if (reply?.kind === "refused")
      return { words: reply.problems.map(({ message, hint }) => `${message} ${hint}`).join(" "), act: null };
    if (reply?.kind !== "appended") return { words, act: null };
    if (!(await store(reply.lines))) return NOTHING;
    view.value = await askRace({ ask: "race view", device: deviceName(), now: at });
    return { words, act: reply.lines[0]?.id ?? null };
  });
}

/** Asks whether a ewe is out of the pen in which she belongs no longer, where she stands in one. */
export function askOut({ words, stands }: Given, name: Name | null, done: (words: string) => void): void {
  if (name === null || stands === null) return;
  ask([words], en.race.out.her(stands), en.race.out.stays, (is) => {
    if (!is) return;
    void leavePens([name]).then((left) => {
      if (left.words === "") return;
      say(left.words);
      done(left.words);
    });
  });
}
