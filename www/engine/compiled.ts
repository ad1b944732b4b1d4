/** The engine, unpacked and compiled once for all of its threads: on a slow tablet that takes a second. */

/** What a thread begins with: the engine packed in the page, packed in a file, or compiled already. */
export type Handed = { packed: string } | { file: ArrayBuffer } | { module: WebAssembly.Module };

type Module = WebAssembly.Module | null;

/** The compiled engine, once somebody compiles it; null where it could not be handed on. */
let compiled: Promise<Module> | undefined;

/** What a new thread is to be handed, and where it gives what it compiled; null where nothing came of it. */
export function toBegin(): { handed: Promise<Handed>; give: (module: Module) => void } {
  const before = compiled;
  if (before) {
    const handed = before.then((module) => (module ? { module } : packed()));
    return { handed, give: () => undefined };
  }
  let give: (module: Module) => void = () => undefined;
  const mine = new Promise<Module>((resolve) => {
    let isGiven = false;
    give = (module) => {
      if (isGiven) return;
      isGiven = true;
      if (module === null) compiled = undefined;
      resolve(module);
    };
  });
  compiled = mine;
  return { handed: packed(), give };
}

/** The engine as it stands in the page, or in the file that an installed site has beside it. */
async function packed(): Promise<Handed> {
  const element = document.getElementById("engine");
  const file = element?.dataset.file;
  if (file === undefined) return { packed: element?.textContent ?? "" };
  const found = await fetch(file);
  if (!found.ok) throw new Error(`${file}: ${found.status}`);
  return { file: await found.arrayBuffer() };
}
