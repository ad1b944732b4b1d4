/** She who stands at the gate left her pen: sold, dead, or out for another reason. */
import { say } from "../screen";
import { leavePens } from "./leave";
import { card, looked, reckon } from "./race";

/** Takes her out of it. */
export async function takeOut(): Promise<void> {
  const { name } = card.value;
  if (name === null) return;
  const { act, words } = await leavePens([name]);
  if (act === null) return;
  say(words);
  if (looked.value) looked.value = { ...looked.value, stands: null };
  await reckon();
}
