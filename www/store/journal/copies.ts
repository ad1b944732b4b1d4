/**
 * The journal's two copies on this device, so that a browser that throws one away has not thrown away the record.
 *
 * Chromium writes each record of its database's log in two steps, head and body. Where it is killed between them the
 * head stays as seven stray bytes; the next start reads up to them and goes on writing behind them; and the start
 * after that finds that the log does not add up and deletes the whole database, with everything that was confirmed
 * (seen in the tests, some once in two hundred kills). No page can hinder that. But a storage bucket has a log of its
 * own: the second copy stands in one, and **at no moment are both copies being written**, so that one kill can spoil
 * only one of them. A spoilt copy is missed at the next start but one and filled again from the other, which a kill in
 * between can at worst have spoilt in turn, and that is missed one start later, when the first is whole again.
 *
 * A write is done once both have it: a first copy that was torn in an earlier session is only missed at a later start,
 * and an entry that was confirmed with the first alone would be lost with it.
 *
 * Browsers without storage buckets have only the first copy; those other than Chromium keep it in a database of another
 * make, which has no such fault that we know of.
 */
import { ASIDES, Base, type Aside, type Done, type Notices } from "./base";

/** Longer than a slow tablet's disk takes; a second copy that does not answer must not hold up the race. */
const LATE_MS = 4000;

interface Buckets {
  open: (name: string, options: { persisted: boolean }) => Promise<{ indexedDB: IDBFactory }>;
}

/** Both copies, as one store. */
export class Copies {
  private turn: Promise<unknown> = Promise.resolve();

  private constructor(
    private readonly first: Base,
    private second: Base | undefined,
  ) {}

  /** Opens both. Without the first nothing goes; without the second the first stands alone. */
  static async open(notices: Notices): Promise<Done<Copies>> {
    const first = await Base.open(indexedDB, notices);
    if (!first.ok) return first;
    return { ok: true, value: new Copies(first.value, await inTime(openSecond())) };
  }

  /** Whether there is one copy only: the browser has no place for a second, or it failed. */
  get isAlone(): boolean {
    return this.second === undefined;
  }

  /** Hands on every event's line, some at a time: the second copy's where the first has none. Nothing is written. */
  async read(take: (lines: string[]) => void): Promise<Done<void>> {
    let count = 0;
    const read = await this.first.read((lines) => {
      count += lines.length;
      take(lines);
    });
    if (!read.ok || count > 0 || !this.second) return read;
    // All of them or none, for a copy that breaks off would look whole.
    const others = await this.second.lines();
    if (others.ok) take(others.value);
    return read;
  }

  /** Every event's line, at once. */
  async lines(): Promise<Done<string[]>> {
    const lines = await this.first.lines();
    if (!lines.ok || lines.value.length > 0 || !this.second) return lines;
    const others = await this.second.lines();
    return others.ok ? others : lines;
  }

  /** What was put aside; nothing where nothing was. */
  async kept(key: Aside): Promise<Done<unknown>> {
    const kept = await this.first.kept(key);
    if (!kept.ok || kept.value !== undefined || !this.second) return kept;
    const other = await this.second.kept(key);
    return other.ok ? other : kept;
  }

  /** Adds lines, and puts things aside with them: all of it or nothing. Done once both copies are on the disk. */
  add(lines: readonly string[], aside: Partial<Record<Aside, unknown>> = {}): Promise<Done<void>> {
    return this.inBoth((copy) => copy.add(lines, aside));
  }

  /** Puts one thing aside. */
  keep(key: Aside, value: unknown): Promise<Done<void>> {
    return this.inBoth((copy) => copy.keep(key, value));
  }

  /**
   * Gives each copy what only the other has, and says how many lines the first had lost. Only for the page that may
   * write.
   */
  level(): Promise<Done<number>> {
    return this.inTurn(async () => {
      if (!this.second) return { ok: true, value: 0 };
      const [first, second] = [await this.first.end(), await this.second.end()];
      if (!first.ok) return first;
      if (!second.ok || (alike(first.value, second.value) && first.value.count > 0))
        return { ok: true, value: 0 };
      const [here, there] = [await this.first.lines(), await this.second.lines()];
      if (!here.ok) return here;
      if (!there.ok) return { ok: true, value: 0 };
      const lost = without(there.value, here.value);
      const back = await fill(this.first, lost, this.second);
      if (!back.ok) return back;
      await inTime(fill(this.second, without(here.value, there.value), this.first));
      return { ok: true, value: lost.length };
    });
  }

  /** Puts one thing aside in the first copy alone: what may be lost with it, as long as nobody was told that it is saved. */
  keepLightly(key: Aside, value: unknown): Promise<Done<void>> {
    return this.inTurn(() => this.first.keep(key, value));
  }

  /** Writes into the first copy and, once that is done, into the second. The first decides what came of it. */
  private inBoth(write: (copy: Base) => Promise<Done<void>>): Promise<Done<void>> {
    return this.inTurn(async () => {
      const done = await write(this.first);
      if (!done.ok || !this.second) return done;
      // A second copy that fails or hangs is left alone until the page is opened anew, and levelled then.
      const again = await inTime(write(this.second));
      if (!again?.ok) this.second = undefined;
      return done;
    });
  }

  private inTurn<T>(act: () => Promise<T>): Promise<T> {
    const done = this.turn.then(act, act);
    this.turn = done.catch(() => undefined);
    return done;
  }
}

/** The second copy's place: a bucket beside the page's usual storage. */
async function openSecond(): Promise<Base | undefined> {
  try {
    const { storageBuckets } = navigator as Navigator & { storageBuckets?: Buckets };
    const bucket = await storageBuckets?.open("evenfold-second", { persisted: true });
    if (!bucket) return undefined;
    // A newer page that needs the first copy lets this one know by it.
    const quiet = () => undefined;
    const opened = await Base.open(bucket.indexedDB, { blocked: quiet, closed: quiet });
    return opened.ok ? opened.value : undefined;
  } catch {
    return undefined;
  }
}

/** Adds to a copy what it lacks, lines and what was put aside. */
async function fill(copy: Base, lines: string[], other: Base): Promise<Done<void>> {
  const aside: Partial<Record<Aside, unknown>> = {};
  for (const key of ASIDES) {
    const [own, others] = [await copy.kept(key), await other.kept(key)];
    if (own.ok && own.value === undefined && others.ok && others.value !== undefined)
      aside[key] = others.value;
  }
  if (lines.length === 0 && Object.keys(aside).length === 0) return { ok: true, value: undefined };
  return copy.add(lines, aside);
}

function alike(one: { count: number; last: unknown }, other: { count: number; last: unknown }): boolean {
  return one.count === other.count && one.last === other.last;
}

function without(lines: readonly string[], others: readonly string[]): string[] {
  const known = new Set(others);
  return lines.filter((line) => !known.has(line));
}

/** What comes in time; nothing where it does not. */
function inTime<T>(work: Promise<T>): Promise<T | undefined> {
  const late = new Promise<undefined>((resolve) => setTimeout(() => resolve(undefined), LATE_MS));
  return Promise.race([work, late]);
}
