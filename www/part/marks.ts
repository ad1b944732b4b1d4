/** The parts of the drawing of need by day: axes, names of lines, and where the ewe stands. */
import { axisX, axisY, dot, gridY, ruleX, ruleY, text } from "@observablehq/plot";
import type { CurvePoint, NeedCurves } from "../engine/types";

const HALO = { stroke: "var(--paper)", strokeWidth: 6, fill: "currentColor" } as const;
const SIZE = 17;

/** Where the ewe asked about stands. */
export interface Asked {
  days: number;
  energy: number;
}

/** Both axes, in weeks and in energy. */
export function axes(curves: NeedCurves, floor: number) {
  return [
    gridY({ ticks: 6, stroke: "var(--hair)", strokeOpacity: 1 }),
    axisX({
      ticks: [70, 56, 42, 28, 14, 0],
      label: curves.days_title,
      labelAnchor: "center",
      labelArrow: "none",
      labelOffset: 50,
      fontSize: SIZE,
      tickSize: 8,
    }),
    axisY({
      ticks: 6,
      label: `${curves.energy_title}, ${curves.unit}`,
      labelArrow: "none",
      fontSize: SIZE,
      tickSize: 0,
    }),
    ruleY([floor], { stroke: "currentColor", strokeWidth: 2 }),
  ];
}

/** The name of a line at its end. */
export interface End {
  words: string;
  y: number;
  tint: string;
}

/** The names at the ends, moved apart where lines lie close; `room` is how much energy a line of type is high. */
export function ends(names: readonly End[], room: number) {
  const sorted = [...names].sort((a, b) => a.y - b.y);
  let least = -Infinity;
  for (const end of sorted) {
    end.y = Math.max(end.y, least);
    least = end.y + room;
  }
  return text(sorted, {
    x: () => 0,
    y: "y",
    text: "words",
    textAnchor: "start",
    dx: 8,
    fontSize: SIZE,
    fontWeight: 700,
    fill: "tint",
  });
}

/** The name of what she is short of, in its midst. */
export function shortOf(point: CurvePoint | undefined, words: string) {
  return text(point ? [point] : [], {
    x: "days_to_lambing",
    y: ({ needs_mj, can_eat_mj }: CurvePoint) => (needs_mj + can_eat_mj) / 2,
    text: () => words,
    fontSize: SIZE,
    fontWeight: 700,
    ...HALO,
    fill: "var(--raddle)",
  });
}

/** Where she stands. */
export function stand(asked: Asked | null, unit: string) {
  const data = asked ? [asked] : [];
  const early = (asked?.days ?? 0) > 50;
  return [
    ruleX(data, { x: "days", stroke: "currentColor", strokeWidth: 1.5, strokeDasharray: "3 4" }),
    dot(data, { x: "days", y: "energy", r: 9, fill: "currentColor", stroke: "var(--paper)", strokeWidth: 3 }),
    text(data, {
      x: "days",
      y: "energy",
      text: ({ energy }: Asked) => `${energy.toFixed(1)} ${unit}`,
      textAnchor: early ? "start" : "end",
      dx: early ? 14 : -14,
      dy: -14,
      fontSize: SIZE + 2,
      fontWeight: 700,
      ...HALO,
    }),
  ];
}
