/** Waiting for the store: what comes while it still opens must not be lost. */
import { computed } from "@preact/signals";
import { canEnter, letGo, phase, waits } from "./journal";

/** Whether it has come out by now who writes: this page, another, or nobody. */
const isDecided = computed(() => canEnter.value || waits.value || letGo.value || phase.value === "failed");

/** Once that has come out: what is read while the store still opens waits for it, so that no ewe is missed. */
export function decided(): Promise<void> {
  if (isDecided.value) return Promise.resolve();
  return new Promise((resolve) => {
    const stop = isDecided.subscribe((is) => {
      if (!is) return;
      queueMicrotask(() => stop());
      resolve();
    });
  });
}
