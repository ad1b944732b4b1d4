/** The parts of the drawing of misfit against moves. */
import { dot, lineY, ruleX, text } from "@observablehq/plot";
import type { CurvePointView, RegroupView } from "../engine/types";
import { ground, SIZE } from "./ground-marks";

/** Axes and ground. */
export function frame(view: RegroupView, floor: number, slim: boolean) {
  return ground({
    across: view.moves_axis,
    ticks: slim ? 4 : 8,
    tickFormat: (moves) => (Number.isInteger(moves) ? String(moves) : ""),
    up: view.misfit_axis,
    floor,
    slim,
  });
}

/** The misfit, and the same with what the moves cost. */
export function lines(curve: CurvePointView[]) {
  return [
    lineY(curve, {
      x: "moves",
      y: "with_moves_mj",
      stroke: "var(--sky)",
      strokeWidth: 3,
      strokeDasharray: "14 8",
    }),
    lineY(curve, {
      x: "moves",
      y: "objective_mj",
      stroke: "var(--raddle)",
      strokeWidth: 5,
      strokeLinecap: "round",
    }),
  ];
}

/** The lines' names at their ends, kept apart; `unit` is how much misfit a px is. */
export function names(
  curve: CurvePointView[],
  most: number,
  unit: number,
  words: { left: string; withMoves: string },
) {
  const end = curve.at(-1);
  const [left, withMoves] = [end?.objective_mj ?? 0, end?.with_moves_mj ?? 0];
  const gap = Math.max(unit * 24 - (withMoves - left), 0) / 2;
  const ends = [
    { y: left - gap, words: words.left, tint: "var(--raddle)" },
    { y: withMoves + gap, words: words.withMoves, tint: "var(--sky)" },
  ];
  return text(end ? ends : [], {
    x: () => most,
    y: "y",
    text: "words",
    textAnchor: "start",
    dx: 10,
    fontSize: SIZE,
    fontWeight: 700,
    fill: "tint",
  });
}

/** What pays best, and the point whose moves are listed. */
export function stands(view: RegroupView, most: number, best: string) {
  const pays = view.curve.filter((point) => point.is_best);
  const listed = view.curve.filter((point) => point.moves === view.listed);
  const late = (pays[0]?.moves ?? 0) > most * 0.7;
  return [
    ruleX(listed, { x: "moves", stroke: "currentColor", strokeWidth: 1.5, strokeDasharray: "3 4" }),
    dot(pays, {
      x: "moves",
      y: "with_moves_mj",
      r: 9,
      symbol: "diamond2",
      fill: "var(--sky)",
      stroke: "var(--paper)",
      strokeWidth: 2,
    }),
    text(pays, {
      x: "moves",
      y: "with_moves_mj",
      text: () => best,
      textAnchor: late ? "end" : "start",
      dx: late ? 8 : -8,
      dy: -24,
      fontSize: SIZE,
      fontWeight: 700,
      fill: "var(--sky)",
      stroke: "var(--paper)",
      strokeWidth: 6,
    }),
    dot(listed, {
      x: "moves",
      y: "objective_mj",
      r: 10,
      fill: "currentColor",
      stroke: "var(--paper)",
      strokeWidth: 3,
    }),
  ];
}
