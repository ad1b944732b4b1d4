/** A drawing as the page may show it, and the way to find what lies under a finger. */
import type { plot } from "@observablehq/plot";

/** The picture, and which point lies nearest to a place across it, px. */
export interface Drawn<Point> {
  picture: Element;
  nearest: (x: number) => Point | undefined;
}

/** Takes off what the page's policy and screen readers do not bear, and gives the picture its name. */
export function bare<Point>(
  picture: ReturnType<typeof plot>,
  name: string,
  points: readonly Point[],
  of: (point: Point) => number,
): Drawn<Point> {
  // Its own style sheet is taken out: the page's policy allows none but the page's.
  for (const sheet of picture.querySelectorAll("style")) sheet.remove();
  // A group without a role may bear no name: the picture as a whole has one.
  for (const group of picture.querySelectorAll("[aria-label], [aria-description]")) {
    group.removeAttribute("aria-label");
    group.removeAttribute("aria-description");
  }
  picture.setAttribute("role", "img");
  picture.setAttribute("aria-label", name);
  const scale = picture.scale("x");
  return {
    picture,
    nearest: (x) => {
      const at = Number(scale?.invert?.(x));
      const off = (point: Point) => Math.abs(of(point) - at);
      return points.reduce<Point | undefined>(
        (near, point) => (near !== undefined && off(near) <= off(point) ? near : point),
        undefined,
      );
    },
  };
}
