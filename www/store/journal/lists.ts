/** Lists and backups brought in. */
import type { BringReply, Restored } from "../../engine/types";
import type { Lists } from "../../engine/race";
import { askRace, canEnter, deviceName, inTurn, now, show, store } from "./journal";
import { askProtection } from "./protect";

/** Brings lists in. */
export function bring(lists: Lists, flockName: string): Promise<BringReply | null> {
  return inTurn(async () => {
    if (!canEnter.value) return null;
    await askProtection();
    const request = { device: deviceName(), now: now(), flock_name: flockName };
    const brought = await askRace({ ask: "race bring", request, ...lists });
    if (brought.reply?.kind === "appended" && !(await store(brought.reply.lines))) return null;
    await show();
    return brought;
  });
}

/** Restores a backup, or takes over another device's entries. */
export function restore(bytes: Uint8Array, sure: boolean): Promise<Restored | null> {
  return inTurn(async () => {
    if (!canEnter.value) return null;
    const restored = await askRace({ ask: "race restore", bytes, sure });
    if (restored.kind === "taken" && restored.lines.length > 0 && !(await store(restored.lines))) return null;
    await show();
    return restored;
  });
}
