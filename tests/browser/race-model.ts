/**
 * What a day at the race was meant to leave behind, kept by the test alone; and the same read from the bare lines of
 * a backup by a few rules of the test's own. Neither asks the engine anything.
 */

/** What is to be on record of one ewe. */
export interface Meant {
  lambs: number;
  score: number;
  age: string;
  pen: string | null;
  marks: string[];
  notes: string[];
}

/** A line of the file, as far as these rules read it. */
interface Entry {
  id: string;
  device: string;
  sequence: number;
  at: [number, number];
  what: {
    kind: string;
    eid?: string;
    ewe?: { eid?: string };
    lambs?: number;
    score?: number;
    age?: string;
    pen?: string;
    mark?: string;
    words?: string;
    events?: string[];
  };
}

/** A backup's entries in their order: by time, then by count, then by device. */
export function entries(file: string): Entry[] {
  return file
    .trim()
    .split("\n")
    .slice(1)
    .map((line) => JSON.parse(line) as Entry)
    .sort(
      (one, other) =>
        one.at[0] - other.at[0] ||
        one.at[1] - other.at[1] ||
        (one.device < other.device ? -1 : 1),
    );
}

/** Those that stand: what undid them may have been undone in turn, so the last comes first. */
function standing(all: readonly Entry[]): Entry[] {
  const gone = new Set<string>();
  for (const { id, what } of [...all].reverse())
    if (!gone.has(id)) for (const event of what.events ?? []) gone.add(event);
  return all.filter(({ id }) => !gone.has(id));
}

/** What the lines say of every ewe, by her identifier. */
export function told(file: string): Map<string, Meant> {
  const ewes = new Map<string, Meant>();
  const scores = new Map<string, Map<string, number>>();
  for (const { device, what } of standing(entries(file))) {
    const tag = what.ewe?.eid ?? what.eid;
    if (tag === undefined) continue;
    const ewe = ewes.get(tag) ?? {
      lambs: NaN,
      score: NaN,
      age: "",
      pen: null,
      marks: [],
      notes: [],
    };
    ewes.set(tag, ewe);
    if (what.kind === "scanned") ewe.lambs = what.lambs ?? NaN;
    if (what.kind === "age_given") ewe.age = what.age ?? "";
    if (what.kind === "pen_given") ewe.pen = what.pen ?? null;
    if (what.kind === "marked") ewe.marks.push(what.mark ?? "");
    if (what.kind === "mark_cleared")
      ewe.marks = ewe.marks.filter((mark) => mark !== what.mark);
    if (what.kind === "noted") ewe.notes.push(what.words ?? "");
    if (what.kind === "condition_scored") {
      // Two tablets that did not know of each other: until somebody settles it, the lower score is taken.
      const by = scores.get(tag) ?? new Map<string, number>();
      scores.set(tag, by.set(device, what.score ?? NaN));
      ewe.score = Math.min(...by.values());
    }
  }
  return ewes;
}

/** Invented ewes in a fixed order that looks like none. */
export class Chance {
  private state = 20270112;

  /** The next of so many. */
  of(count: number): number {
    // Lehmer's generator with Park and Miller's first multiplier (1988): enough for invented ewes.
    this.state = (this.state * 16807) % 2147483647;
    return this.state % count;
  }

  /** One of these. */
  among<T>(these: readonly [T, ...T[]]): T {
    return these[this.of(these.length)] ?? these[0];
  }
}

/** The invented pens: room for the day, and little more. */
export function pensFor(ewes: number): string {
  const pens = Math.ceil((ewes * 1.15) / 42);
  const rows = Array.from(
    { length: pens },
    (_, at) => `${String.fromCharCode(65 + at)},${19 + (at % 3)},60,restricted`,
  );
  return ["pen,trough_m,area_m2,feeding", ...rows].join("\n");
}
