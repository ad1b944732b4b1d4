/** Moves of the room of moves, entered in the journal as what was done. */
import { signal } from "@preact/signals";
import type { MoveView, Problem } from "../../engine/types";
import { en } from "../../text/en";
import { onOtherLists } from "../aside";
import { say } from "../screen";
import { askRace, canEnter, deviceName, inTurn, now, store, undo, view } from "./journal";

/** What came of it; the act, while it can be undone from here. */
export const entered = signal<{ words: string; problems: Problem[]; act: string | null } | null>(null);

onOtherLists(() => (entered.value = null));

/** Enters moves that were made, as one act. */
export function enterMoves(moves: readonly MoveView[]): Promise<void> {
  return inTurn(async () => {
    if (!canEnter.value) return;
    const at = now();
    const made = moves.map(({ tag, from, to, words }) => ({ tag, from, to, words }));
    const request = { device: deviceName(), now: at, moves: made };
    const { reply, words, problems } = await askRace({ ask: "race moved", request });
    let act: string | null = null;
    if (reply?.kind === "appended") {
      if (!(await store(reply.lines))) return;
      act = reply.lines[0]?.id ?? null;
    }
    const refused = reply?.kind === "refused" ? reply.problems : [];
    entered.value = { words, problems: [...refused, ...problems], act };
    say(words);
    view.value = await askRace({ ask: "race view", device: deviceName(), now: at });
  });
}

/** Takes them back. */
export async function undoMoves(): Promise<void> {
  const act = entered.value?.act;
  if (!act) return;
  const reply = await undo(act);
  if (reply?.kind !== "appended") return;
  entered.value = { words: en.race.moved.undone, problems: [], act: null };
  say(en.race.moved.undone);
}
