/** The drawing of need by day. */
import { areaY, lineY, plot } from "@observablehq/plot";
import type { CurveLine, NeedCurves } from "../engine/types";
import { axes, ends, shortOf, stand, type Asked, type End } from "./marks";

/** What is drawn. */
export interface Drawn {
  curves: NeedCurves;
  lines: readonly CurveLine[];
  /** The line of the ewe asked about. */
  own: CurveLine | undefined;
  /** Where she stands. */
  asked: Asked | null;
  /** What a line is called at its end. */
  named: (line: CurveLine) => string;
  /** What the shaded part is called. */
  short: string;
  /** What the line of what she can eat is called. */
  eats: string;
  width: number;
}

/** By lambs: dots, dashes, a whole line. */
const DASHES = ["none", "1 8", "14 8", "none"];
const EATS = "20 4 4 4";
/** Fewer days than this have no room for a word. */
const WORD = 9;

/** Draws. */
export function draw({ curves, lines, own, asked, named, short, eats, width }: Drawn): Element {
  const slim = width < 520;
  const height = slim ? 360 : Math.min(430, Math.max(340, width * 0.62));
  const points = own?.points ?? [];
  const shorts = points.filter((point) => point.needs_mj > point.can_eat_mj);
  const energies = lines.flatMap((line) => line.points.map(({ needs_mj }) => needs_mj));
  energies.push(...points.map(({ can_eat_mj }) => can_eat_mj));
  if (asked) energies.push(asked.energy);
  const [floor, top] = [Math.floor(Math.min(...energies) - 0.5), Math.ceil(Math.max(...energies) + 0.5)];
  const end = (line: CurveLine | undefined) => line?.points.at(-1);
  const atEnd: End[] = lines.map((line) => ({
    words: named(line),
    y: end(line)?.needs_mj ?? 0,
    tint: line === own ? "var(--raddle)" : "currentColor",
  }));
  if (own) atEnd.push({ words: eats, y: end(own)?.can_eat_mj ?? 0, tint: "var(--sky)" });
  const days = { x: "days_to_lambing" };
  const gap = { ...days, y1: "can_eat_mj", y2: "needs_mj" };
  const picture = plot({
    className: "curves",
    width,
    height,
    marginTop: 40,
    marginLeft: 40,
    marginRight: slim ? 74 : 92,
    marginBottom: 56,
    x: { domain: [lines[0]?.points[0]?.days_to_lambing ?? 1, 0] },
    y: { domain: [floor, top] },
    marks: [
      ...axes(curves, floor),
      areaY(shorts, { ...gap, fill: "var(--raddle)", fillOpacity: 0.16 }),
      areaY(shorts, { ...gap, fill: "url(#short-hatch)" }),
      lineY(points, {
        ...days,
        y: "can_eat_mj",
        stroke: "var(--sky)",
        strokeWidth: 3,
        strokeDasharray: EATS,
      }),
      ...lines.map((line) =>
        lineY(line.points, {
          ...days,
          y: "needs_mj",
          stroke: line === own ? "var(--raddle)" : "currentColor",
          strokeWidth: line === own ? 5 : 2.5,
          strokeLinecap: "round",
          strokeDasharray: DASHES[line.litter] ?? "none",
        }),
      ),
      ends(atEnd, ((top - floor) / (height - 96)) * 22),
      shortOf(shorts.length > WORD ? shorts[Math.floor(shorts.length * 0.7)] : undefined, short),
      ...stand(asked, curves.unit),
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
  picture.setAttribute("aria-label", [curves.title, ...lines.map(({ words }) => words)].join(" "));
  return picture;
}
