/**
 * A tap and its answer are drawn as one picture: on a slow tablet each picture takes longer than the engine. Where the
 * answer is late, the tap is drawn alone.
 */
import { options } from "preact";

/** So long the picture waits; nobody sees it. */
const LATE_MS = 70;

let held: (() => void)[] | null = null;
const before = options.debounceRendering?.bind(options);

options.debounceRendering = (draw) => {
  if (held) held.push(draw);
  else if (before) before(draw);
  else queueMicrotask(draw);
};

/** Draws whatever changes from now on together with what this brings. */
export function drawWith(answer: Promise<unknown>): void {
  if (held) return;
  const mine: (() => void)[] = (held = []);
  const draw = () => {
    if (held !== mine) return;
    held = null;
    for (const one of mine) one();
  };
  answer.then(draw, draw);
  setTimeout(draw, LATE_MS);
}

/** A picture takes less, also on a slow tablet. */
const UNSEEN_MS = 250;

/** Acts once what was told is drawn. */
export function afterDrawing(act: () => void): void {
  let isDone = false;
  const once = () => {
    if (!isDone) act();
    isDone = true;
  };
  requestAnimationFrame(() => setTimeout(once));
  // A page that is not seen draws nothing.
  setTimeout(once, UNSEEN_MS);
}
