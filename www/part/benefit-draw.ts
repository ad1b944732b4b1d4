/** The drawing of misfit against moves. */
import { plot } from "@observablehq/plot";
import type { CurvePointView, RegroupView } from "../engine/types";
import { frame, lines, names, stands } from "./benefit-marks";

/** What is drawn, and the names of its parts. */
export interface Benefit {
  view: RegroupView;
  width: number;
  words: { left: string; withMoves: string; best: string };
}

/** The picture, and which point lies nearest to a place across it, px. */
export interface Drawn {
  picture: Element;
  nearest: (x: number) => CurvePointView | undefined;
}

/** Draws. */
export function drawBenefit({ view, width, words }: Benefit): Drawn {
  const { curve } = view;
  const slim = width < 520;
  const height = slim ? 340 : Math.min(420, Math.max(320, width * 0.5));
  const figures = curve.flatMap((point) => [point.objective_mj, point.with_moves_mj]);
  const [low, high] = [Math.min(...figures), Math.max(...figures)];
  const room = Math.max((high - low) * 0.12, 1);
  const [floor, top] = [Math.max(low - room, 0), high + room];
  const most = Math.max(curve.at(-1)?.moves ?? 0, 1);
  const picture = plot({
    className: "benefit",
    width,
    height,
    marginTop: 44,
    marginLeft: slim ? 58 : 68,
    marginRight: slim ? 20 : 130,
    marginBottom: 56,
    x: { domain: [0, most] },
    y: { domain: [floor, top] },
    marks: [
      ...frame(view, floor, slim),
      ...lines(curve),
      ...(slim ? [] : [names(curve, most, (top - floor) / (height - 100), words)]),
      ...stands(view, most, words.best),
    ],
  });
  // Its own style sheet is taken out: the page's policy allows none but the page's.
  for (const sheet of picture.querySelectorAll("style")) sheet.remove();
  // A group without a role may bear no name: the picture as a whole has one.
  for (const group of picture.querySelectorAll("[aria-label], [aria-description]")) {
    group.removeAttribute("aria-label");
    group.removeAttribute("aria-description");
  }
  picture.setAttribute("role", "img");
  picture.setAttribute("aria-label", `${view.curve_title}. ${view.listed_words}`);
  const scale = picture.scale("x");
  const nearest = (x: number) => {
    const at = Number(scale?.invert?.(x));
    const off = (point: CurvePointView) => Math.abs(point.moves - at);
    return curve.reduce<CurvePointView | undefined>(
      (near, point) => (near && off(near) <= off(point) ? near : point),
      undefined,
    );
  };
  return { picture, nearest };
}
