/**
 * A tag reader that types: a burst of keys faster than any hand, ended by Enter, wherever the focus is. Slower keys
 * are a person's: each is handed on alone, unless somebody writes in a field.
 */

/** Keys nearer to each other than this are a machine's (readers send within 2 to 20 ms; a hand needs 60 and more). */
const BURST_MS = 45;
/** A burst has at least so many signs; two keys that slip together are no tag. */
const SHORTEST = 6;

/** Begins to listen. The function that comes back ends it. */
export function listen(on: { read: (text: string) => void; key: (key: string) => boolean }): () => void {
  let burst = "";
  let last = -Infinity;
  let slow: ReturnType<typeof setTimeout> | undefined;
  let field: { element: HTMLInputElement | HTMLTextAreaElement; before: string } | null = null;

  const clear = () => {
    burst = "";
    field = null;
  };
  const down = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing || event.repeat) return;
    const near = event.timeStamp - last < BURST_MS;
    last = event.timeStamp;
    const written = fieldOf(event.target);
    if (event.key === "Enter") {
      if (near && burst.length >= SHORTEST) {
        clearTimeout(slow);
        event.preventDefault();
        event.stopPropagation();
        const text = burst;
        putBack(field);
        clear();
        on.read(text);
        return;
      }
      clear();
      if (!written && !isButton(event.target) && on.key("Enter")) event.preventDefault();
      return;
    }
    if (event.key.length !== 1) {
      if (event.key === "Shift") return;
      clear();
      if (!written && on.key(event.key)) event.preventDefault();
      return;
    }
    if (!near || burst === "") {
      burst = event.key;
      field = written ? { element: written, before: written.value } : null;
    } else {
      burst += event.key;
    }
    clearTimeout(slow);
    // A list of choices would jump to what begins so.
    if (event.target instanceof HTMLSelectElement) event.preventDefault();
    // A blank on a button presses it; in a burst it does not.
    if (!written && event.key === " " && burst.length > 1) event.preventDefault();
    if (!written && burst.length === 1) {
      const key = event.key;
      slow = setTimeout(() => {
        if (burst === key) on.key(key);
      }, BURST_MS);
    }
  };
  addEventListener("keydown", down, { capture: true });
  return () => {
    clearTimeout(slow);
    removeEventListener("keydown", down, { capture: true });
  };
}

function fieldOf(target: EventTarget | null): HTMLInputElement | HTMLTextAreaElement | null {
  if (target instanceof HTMLTextAreaElement) return target;
  return target instanceof HTMLInputElement && target.type === "text" ? target : null;
}

function isButton(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLButtonElement ||
    target instanceof HTMLAnchorElement ||
    target instanceof HTMLInputElement
  );
}

/** What the burst wrote into a field is taken out of it again. */
function putBack(field: { element: HTMLInputElement | HTMLTextAreaElement; before: string } | null): void {
  if (!field) return;
  field.element.value = field.before;
  field.element.dispatchEvent(new Event("input", { bubbles: true }));
}
