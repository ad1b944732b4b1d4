/** The drawing of misfit against number of pens. */
import { dot, lineY, plot, ruleX, text } from "@observablehq/plot";
import type { PenCountPointView, PenCountView } from "../engine/types";
import { bare, type Drawn } from "./bare";
import { ground, SIZE } from "./ground-marks";

const has = (point: PenCountPointView) => point.objective_mj !== null;

/** Draws; `at` is the place of the number looked at. */
export function drawCount(props: {
  view: PenCountView;
  at: number;
  width: number;
  words: { misfit: string; bound: string };
}): Drawn<PenCountPointView> {
  const { view, at, width, words } = props;
  const { points } = view;
  const slim = width < 520;
  const fits = points.filter(has);
  const figures = fits.flatMap(({ objective_mj, bound_mj }) => [objective_mj ?? 0, bound_mj ?? 0]);
  const high = Math.max(...figures, 1) * 1.1;
  const most = Math.max(points.length, 2);
  const height = slim ? 340 : Math.min(420, Math.max(320, width * 0.5));
  const chosen = points.slice(at, at + 1);
  const end = fits.at(-1);
  const apart = (high / (height - 100)) * 24;
  const gap = end ? Math.max(apart - ((end.objective_mj ?? 0) - (end.bound_mj ?? 0)), 0) / 2 : 0;
  const names = end
    ? [
        { y: (end.objective_mj ?? 0) + gap, words: words.misfit, tint: "var(--raddle)" },
        { y: (end.bound_mj ?? 0) - gap, words: words.bound, tint: "var(--sky)" },
      ]
    : [];
  const picture = plot({
    className: "curves",
    width,
    height,
    marginTop: 44,
    marginLeft: slim ? 66 : 76,
    marginRight: slim ? 24 : 150,
    marginBottom: 56,
    x: { domain: [1, most] },
    y: { domain: [0, high] },
    marks: [
      ...ground({
        across: view.pens_axis,
        ticks: points.map(({ pens }) => pens),
        tickFormat: String,
        up: view.misfit_axis,
        floor: 0,
        slim,
      }),
      ruleX(chosen, { x: "pens", stroke: "currentColor", strokeWidth: 1.5, strokeDasharray: "3 4" }),
      lineY(fits, {
        x: "pens",
        y: "bound_mj",
        stroke: "var(--sky)",
        strokeWidth: 3,
        strokeDasharray: "14 8",
      }),
      lineY(fits, { x: "pens", y: "objective_mj", stroke: "var(--raddle)", strokeWidth: 5 }),
      dot(fits, { x: "pens", y: "objective_mj", r: 6, fill: "var(--raddle)" }),
      dot(
        fits.filter((point) => point.is_best),
        { x: "pens", y: "objective_mj", r: 15, stroke: "var(--sky)", strokeWidth: 4 },
      ),
      dot(chosen.filter(has), {
        x: "pens",
        y: "objective_mj",
        r: 10,
        fill: "currentColor",
        stroke: "var(--paper)",
        strokeWidth: 3,
      }),
      text(slim ? [] : names, {
        x: () => most,
        y: "y",
        text: "words",
        textAnchor: "start",
        dx: 18,
        fontSize: SIZE,
        fontWeight: 700,
        fill: "tint",
      }),
    ],
  });
  return bare(picture, `${view.chart_title}. ${points[at]?.words ?? ""}`, points, ({ pens }) => pens);
}
