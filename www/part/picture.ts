/** What all pen strips of a picture share: the scale of need and the size of the marks. */
import { scaleLinear, type ScaleLinear } from "d3-scale";
import type { FillView, SortView } from "../engine/types";
import { fitting, type Size } from "./heap";

/** The frame of the strips. */
export interface Picture {
  /** CSS px. */
  width: number;
  scale: ScaleLinear<number, number>;
  size: Size;
  /** For each unit, the most that any pen has of it: troughs are drawn to one scale. */
  most: { trough: Map<string, number>; floor: Map<string, number> };
}

/** Room at either end of the axis, CSS px. */
export const EDGE = 16;

/** The frame for a width; `room` is what a heap of marks may take upwards. */
export function picture(view: SortView, width: number, room: number): Picture {
  const scale = scaleLinear([view.axis.low, view.axis.high], [EDGE, Math.max(width - EDGE, EDGE + 1)]);
  const most = (fill: "trough" | "floor") => {
    const found = new Map<string, number>();
    for (const pen of view.pens) {
      const { total, used, unit }: FillView = pen[fill];
      found.set(unit, Math.max(found.get(unit) ?? 0, total, used));
    }
    return found;
  };
  return {
    width,
    scale,
    size: fitting(view, room, scale),
    most: { trough: most("trough"), floor: most("floor") },
  };
}
