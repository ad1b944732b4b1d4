/** What all pen strips of a picture share: the scale of need and the size of the marks. */
import { scaleLinear, type ScaleLinear } from "d3-scale";
import type { Axis, FillView, PenView, SortView } from "../engine/types";
import { fitting, highest, type Size } from "./heap";

/** The frame of the strips. */
export interface Picture {
  /** CSS px. */
  width: number;
  scale: ScaleLinear<number, number>;
  size: Size;
  /** How many marks stand on each other at most, in each pen and over all days. */
  rows: Map<PenView, number>;
  /** For each unit, the most that any pen has of it: troughs are drawn to one scale. */
  most: { trough: Map<string, number>; floor: Map<string, number> };
}

/** Room at either end of the axis, CSS px. */
export const EDGE = 16;

/** What a MJ takes where no ration can go, against where one can. */
const NARROWER = 0.5;

/** Need to px. Where no ration can go the scale is narrower, so that a few hungry ewes leave room for all others. */
function across(axis: Axis, width: number): ScaleLinear<number, number> {
  const from = Math.min(Math.max(axis.level_low, axis.low), axis.high);
  const to = Math.max(Math.min(axis.level_high, axis.high), from);
  const left = (from - axis.low) * NARROWER;
  const right = (axis.high - to) * NARROWER;
  const unit = Math.max(width - 2 * EDGE, 1) / Math.max(left + (to - from) + right, 0.1);
  const ends = [EDGE, EDGE + left * unit, EDGE + (left + to - from) * unit, Math.max(width - EDGE, EDGE + 1)];
  return scaleLinear([axis.low, from, to, axis.high], ends);
}

/** The frame for a width; `room` is what a heap of marks may take upwards. */
export function picture(view: SortView, width: number, room: number): Picture {
  const scale = across(view.axis, width);
  const most = (fill: "trough" | "floor") => {
    const found = new Map<string, number>();
    for (const pen of view.pens) {
      const { total, used, unit }: FillView = pen[fill];
      found.set(unit, Math.max(found.get(unit) ?? 0, total, used));
    }
    return found;
  };
  const size = fitting(view, room, scale);
  return {
    width,
    scale,
    size,
    rows: new Map(view.pens.map((pen) => [pen, highest(pen.ewes, pen.levels, size, scale)])),
    most: { trough: most("trough"), floor: most("floor") },
  };
}
