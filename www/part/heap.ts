/** Where each mark stands: columns beside the ration line, heaped up so that none hides another. */
import type { ScaleLinear } from "d3-scale";
import type { EweMark, SortView } from "../engine/types";

/** A mark's place: centre of its column, and how many stand below it. */
export interface Place {
  x: number;
  row: number;
}

/** Size of the marks and room between them, CSS px. */
export interface Size {
  mark: number;
  across: number;
  up: number;
}

const SIZES: readonly Size[] = [14, 13, 12, 11, 10, 9, 8, 7, 6, 5, 4, 3].map((mark) => ({
  mark,
  across: mark + (mark > 8 ? 2 : 1),
  up: mark + (mark > 8 ? 3 : 1),
}));

/** Room between the post and the marks beside it, CSS px. */
const GUTTER = 4;

/** How much higher a column must be before a mark slides to the next, marks: two columns are the farthest. */
const SLIDE = 1.5;

const SMALLEST: Size = { mark: 2, across: 2.5, up: 2.5 };

/** The places of a pen's ewes on a day. No column crosses the ration line, so that its side always shows. */
export function heap(
  ewes: readonly EweMark[],
  day: number,
  level: number,
  size: Size,
  scale: ScaleLinear<number, number>,
): Place[] {
  const post = scale(level);
  const heights = new Map<number, number>();
  const order = ewes.map((ewe, at) => ({ at, need: ewe.density[day] ?? level }));
  order.sort((a, b) => a.need - b.need || a.at - b.at);
  const places: Place[] = ewes.map(() => ({ x: post, row: 0 }));
  for (const { at, need } of order) {
    const off = (scale(need) - post) / size.across;
    // A ewe on the line itself is not short, so she stands with those on its left.
    const own = off > 0 ? Math.floor(off) : Math.ceil(off) - 1;
    const column = lowest(heights, own);
    const row = heights.get(column) ?? 0;
    heights.set(column, row + 1);
    places[at] = { x: post + (column + 0.5) * size.across + (off > 0 ? GUTTER : -GUTTER), row };
  }
  return places;
}

/** Her own column, or one close by on the same side of the post where that one is much lower. */
function lowest(heights: ReadonlyMap<number, number>, own: number): number {
  const cost = (column: number) => (heights.get(column) ?? 0) + SLIDE * Math.abs(column - own);
  let best = own;
  for (const by of [1, -1, 2, -2]) {
    const column = own + by;
    if (column >= 0 === own >= 0 && cost(column) < cost(best)) best = column;
  }
  return best;
}

/** How high a pen's heap grows over the whole period. */
export function highest(
  ewes: readonly EweMark[],
  levels: readonly number[],
  size: Size,
  scale: ScaleLinear<number, number>,
): number {
  let most = 0;
  levels.forEach((level, day) => {
    for (const { row } of heap(ewes, day, level, size, scale)) most = Math.max(most, row + 1);
  });
  return most;
}

/** The largest marks whose heaps stay within `room` px in every pen on every day. */
export function fitting(view: SortView, room: number, scale: ScaleLinear<number, number>): Size {
  const fits = (size: Size) =>
    view.pens.every((pen) => highest(pen.ewes, pen.levels, size, scale) * size.up <= room);
  return SIZES.find(fits) ?? SMALLEST;
}
