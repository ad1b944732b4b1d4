/** Opening a ewe. */
import { picked } from "./hand";
import { showEwe } from "./screen";
import { failure, lookAt } from "./sort";
import { en } from "../text/en";

/** Opens a ewe's sheet; says so where the engine knows nothing more of her. */
export async function openEwe(tag: string): Promise<void> {
  const found = await lookAt(tag);
  if (found) {
    showEwe(found);
    picked.value = null;
  }
  if (found === null) failure.value = en.ewe.missing(tag);
}
