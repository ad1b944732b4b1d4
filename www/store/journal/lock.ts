/** One page writes; any other that is open on the same store only reads, until the first is closed. */

const NAME = "evenfold-journal";

let holds = false;

/** Calls `mine` once this page may write, at once or later; `others` first where another page does. */
export function askToWrite(mine: () => void, others: () => void): void {
  // Old browsers have no locks; there two pages are the person's own care.
  if (holds || !("locks" in navigator)) {
    mine();
    return;
  }
  const hold = () => {
    holds = true;
    mine();
    // Held as long as the page is there.
    return new Promise<never>(() => undefined);
  };
  void navigator.locks.request(NAME, { ifAvailable: true }, (lock) => {
    if (lock) return hold();
    others();
    void navigator.locks.request(NAME, hold);
    return undefined;
  });
}
