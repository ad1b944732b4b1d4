/**
 * The engine, unpacked and compiled once for all of its threads: on a slow tablet that takes a second. In the page of one
 * file it is whole; a site has it in parts, of which each thread takes as many as its questions need.
 */
import { en } from "../text/en";

/** What a thread is handed for a part: packed in the page, packed in a file, or compiled already. */
export type Handed = { packed: string } | { file: ArrayBuffer } | { module: WebAssembly.Module };

type Module = WebAssembly.Module | null;

/** The compiled parts, once somebody compiles them; null where one could not be handed on. */
const compiled = new Map<number, Promise<Module>>();

/** The files of the parts, in their order; none in the page of one file. */
const files = () => document.getElementById("engine")?.dataset.files?.split(" ") ?? [];

/** How many parts there are. */
export const partCount = () => Math.max(files().length, 1);

/** What a thread is to be handed for a part, and where it gives what it compiled; null where nothing came of it. */
export function toBegin(part: number): { handed: Promise<Handed>; give: (module: Module) => void } {
  const before = compiled.get(part);
  if (before) {
    const handed = before.then((module) => (module ? { module } : packed(part)));
    return { handed, give: () => undefined };
  }
  let give: (module: Module) => void = () => undefined;
  const mine = new Promise<Module>((resolve) => {
    let isGiven = false;
    give = (module) => {
      if (isGiven) return;
      isGiven = true;
      if (module === null) compiled.delete(part);
      resolve(module);
    };
  });
  compiled.set(part, mine);
  return { handed: packed(part), give };
}

/** A part as it stands in the page, or in the file that an installed site has beside it. */
async function packed(part: number): Promise<Handed> {
  const file = files()[part];
  if (file === undefined) return { packed: document.getElementById("engine")?.textContent ?? "" };
  const found = await fetch(file).catch(() => null);
  if (!found?.ok) throw new Error(en.partMissing);
  return { file: await found.arrayBuffer() };
}
