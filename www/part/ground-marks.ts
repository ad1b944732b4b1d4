/** The ground of a chart of misfit: hairlines, both axes, and the line on which it stands. */
import { axisX, axisY, gridY, ruleY } from "@observablehq/plot";

/** Size of the letters on a chart. */
export const SIZE = 17;

/** What a chart of misfit stands on. */
export interface Ground {
  /** What lies across, with its unit. */
  across: string;
  /** How many marks across, or which. */
  ticks: number | number[];
  tickFormat: (value: number) => string;
  /** What lies upwards, with its unit. */
  up: string;
  /** The misfit at which the ground lies. */
  floor: number;
  /** Whether there is little room. */
  slim: boolean;
}

/** Hairlines, axes and ground. */
export function ground({ across, ticks, tickFormat, up, floor, slim }: Ground) {
  return [
    gridY({ ticks: 5, stroke: "var(--hair)", strokeOpacity: 1 }),
    axisX({
      ticks,
      tickFormat,
      label: across,
      labelAnchor: "center",
      labelArrow: "none",
      labelOffset: 50,
      fontSize: SIZE,
      tickSize: 8,
    }),
    axisY({
      ticks: 5,
      label: up,
      labelArrow: "none",
      fontSize: slim ? 15 : SIZE,
      tickSize: 0,
      tickFormat: (mj: number) => mj.toLocaleString("en"),
    }),
    ruleY([floor], { stroke: "currentColor", strokeWidth: 2 }),
  ];
}
