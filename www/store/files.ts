/** The files as the person gave them. They live in memory only. */
import { batch, signal } from "@preact/signals";

/** What a file can be. */
export type Slot = "flock" | "pens" | "groups";

/** The slots, in the order in which they are asked for. */
export const SLOTS: readonly Slot[] = ["flock", "pens", "groups"];

/** What a picker of lists offers; the engine looks at the content, not at the name. */
export const KINDS =
  ".csv,.txt,.xlsx,.xlsm,text/csv,text/plain,application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";

/** A file in memory. */
export interface Picked {
  name: string;
  bytes: Uint8Array;
}

/** Each slot's file. */
export const files = {
  flock: signal<Picked | null>(null),
  pens: signal<Picked | null>(null),
  groups: signal<Picked | null>(null),
};

/** Files whose names do not say what they are: the person says it. */
export const unplaced = signal<Picked[]>([]);

/** Takes files that were dropped or picked together; each goes where its name says. */
export async function take(list: Iterable<File>): Promise<void> {
  const picked = await Promise.all([...list].map(read));
  batch(() => {
    for (const file of picked) {
      const named = SLOTS.filter((slot) => file.name.toLowerCase().includes(slot));
      if (named.length === 1 && named[0]) files[named[0]].value = file;
      else unplaced.value = [...unplaced.value, file];
    }
  });
}

/** Takes one file for a slot, whatever its name. */
export async function put(slot: Slot, file: File): Promise<void> {
  files[slot].value = await read(file);
}

/** Puts a file that waits into a slot, or drops it. */
export function place(file: Picked, slot: Slot | null): void {
  batch(() => {
    unplaced.value = unplaced.value.filter((other) => other !== file);
    if (slot) files[slot].value = file;
  });
}

/** Empties every slot. */
export function clear(): void {
  batch(() => {
    for (const slot of SLOTS) files[slot].value = null;
    unplaced.value = [];
  });
}

/** Reads a file into memory. */
export async function read(file: File): Promise<Picked> {
  return { name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) };
}
