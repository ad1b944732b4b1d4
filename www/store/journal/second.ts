/**
 * A second copy of the lines, in another storage of the browser. A browser that finds its database damaged throws the
 * whole of it away (seen once in some fifty kills in the tests); then this copy brings back all but the last seconds.
 * It is no promise, so nothing waits for it and nothing fails with it.
 */

const NAME = "evenfold-journal ";

/** Notes lines; where there is no room, or no such storage, the first copy stands alone. */
export function noteTwice(lines: readonly string[]): void {
  try {
    let next = places().length;
    for (const line of lines) localStorage.setItem(`${NAME}${String(next++).padStart(9, "0")}`, line);
  } catch {
    // Full or forbidden.
  }
}

/** The lines of the second copy, in their order. */
export function secondCopy(): string[] {
  try {
    return places().map((place) => localStorage.getItem(place) ?? "");
  } catch {
    return [];
  }
}

function places(): string[] {
  return Object.keys(localStorage)
    .filter((key) => key.startsWith(NAME))
    .sort();
}
