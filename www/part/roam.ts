/** Moving among marks by key and by finger. */

/** Where an arrow key leads from `at` among `count` marks; nothing for other keys. */
export function step(event: KeyboardEvent, at: number, count: number): number | undefined {
  switch (event.key) {
    case "ArrowRight":
    case "ArrowDown":
      return Math.min(at + 1, count - 1);
    case "ArrowLeft":
    case "ArrowUp":
      return Math.max(at - 1, 0);
    case "Home":
      return 0;
    case "End":
      return count - 1;
    default:
      return undefined;
  }
}

/** A fingertip's reach, CSS px: about 8 mm. */
const REACH = 44;

/** The mark nearest to a tap, where one is in reach. */
export function nearest(
  marks: readonly { x: number; y: number }[],
  x: number,
  y: number,
): number | undefined {
  let best: number | undefined;
  let closest = REACH;
  marks.forEach((mark, index) => {
    const distance = Math.hypot(mark.x - x, mark.y - y);
    if (distance < closest) {
      closest = distance;
      best = index;
    }
  });
  return best;
}
