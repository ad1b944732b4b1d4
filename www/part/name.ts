/** Names for things inside a drawing that other parts of it refer to. */
import { useState } from "preact/hooks";

let given = 0;

/** A name that nothing else on the page has, on screen or on paper: a drawing that is hidden lends nothing to others. */
export function useName(): string {
  const [name] = useState(() => `drawn-${(given += 1)}`);
  return name;
}
