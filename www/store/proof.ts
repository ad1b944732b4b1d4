/** The proof of how near the best the sort on screen is: asked for, step by step, stopped at will. */
import { signal } from "@preact/signals";
import type { ProofView } from "../engine/types";
import { asked, reply } from "./sort";

/** How far the proof of the sort on screen has come; nothing where nobody asked for one. */
export const proof = signal<ProofView | null>(null);

/** Whether it is going on. */
export const proving = signal(false);

// Another sort is another proof.
reply.subscribe(() => {
  proof.value = null;
  proving.value = false;
});

/** Goes on until nothing is to be gained, somebody stops it, or another sort is on screen. */
export async function prove(): Promise<void> {
  const of = reply.value;
  const wanted = () => proving.value && reply.value === of;
  proving.value = true;
  while (wanted()) {
    const step = await asked("", { ask: "prove step" });
    if (reply.value !== of) return;
    if (step) proof.value = step;
    if (!step || step.is_done) break;
  }
  proving.value = false;
}

/** Leaves it at what is proved so far; it can go on from there. */
export function leaveProof(): void {
  proving.value = false;
}
