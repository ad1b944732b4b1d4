/** Whether the browser promises not to clear what is stored. */
import { signal } from "@preact/signals";

/** Whether the browser promised not to clear the store by itself; null: not asked yet. */
export const protectedHere = signal<boolean | null>(null);

/** Asks the browser, before the first entry, not to clear the store by itself. */
export async function askProtection(): Promise<void> {
  if (protectedHere.value !== null) return;
  const asked = "storage" in navigator ? navigator.storage.persist() : null;
  const late = new Promise<boolean>((resolve) => setTimeout(() => resolve(false), 1500));
  protectedHere.value = asked ? await Promise.race([asked.catch(() => false), late]) : false;
}
