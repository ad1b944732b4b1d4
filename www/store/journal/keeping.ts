/** The card that is being written, kept so that it comes back. */
import type { Card } from "../../engine/types";
import { fail, inTurn, openBase, writes } from "./journal";

let cardWaits = false;

/**
 * Keeps the card that is being written, so that it comes back after the page was closed; what it is then is asked when
 * its turn comes, so that of several only the last is stored. The first copy is enough: nobody is told that it is saved.
 */
export async function keepCard(of: () => Card | null): Promise<void> {
  if (cardWaits) return;
  cardWaits = true;
  await inTurn(async () => {
    if (!cardWaits) return;
    cardWaits = false;
    const base = openBase();
    if (!base || !writes.value) return;
    const done = await base.keepLightly("card", of());
    if (!done.ok) fail(done.fault);
  });
}

/** She is being entered, and her card with her: keeping it alone would only hold that up. */
export function dropCard(): void {
  cardWaits = false;
}
