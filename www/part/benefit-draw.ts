/** The drawing of misfit against moves. */
import { plot } from "@observablehq/plot";
import type { CurvePointView, RegroupView } from "../engine/types";
import { bare, type Drawn } from "./bare";
import { frame, lines, names, stands } from "./benefit-marks";

/** What is drawn, and the names of its parts. */
export interface Benefit {
  view: RegroupView;
  width: number;
  words: { left: string; withMoves: string; best: string };
}

/** Draws. */
export function drawBenefit({ view, width, words }: Benefit): Drawn<CurvePointView> {
  const { curve } = view;
  const slim = width < 520;
  const height = slim ? 340 : Math.min(420, Math.max(320, width * 0.5));
  const figures = curve.flatMap((point) => [point.objective_mj, point.with_moves_mj]);
  const [low, high] = [Math.min(...figures), Math.max(...figures)];
  const room = Math.max((high - low) * 0.12, 1);
  const [floor, top] = [Math.max(low - room, 0), high + room];
  const most = Math.max(curve.at(-1)?.moves ?? 0, 1);
  const picture = plot({
    className: "curves",
    width,
    height,
    marginTop: 44,
    marginLeft: slim ? 66 : 76,
    marginRight: slim ? 20 : 160,
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
  return bare(picture, `${view.curve_title}. ${view.listed_words}`, curve, ({ moves }) => moves);
}
