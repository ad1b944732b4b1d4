/**
 * The journal's place on this device: an IndexedDB of one record an event, and a few things kept aside.
 *
 * Nothing here throws: whatever may go wrong comes back as a value. An operation is done when its transaction is
 * complete, on a storage that was asked to be strict; not when its request succeeded.
 */

/** Why something could not be stored or read. */
export interface Fault {
  kind: "full" | "blocked" | "closed" | "failed";
  /** What the browser said. */
  detail: string;
}

/** What came of an operation. */
export type Done<T> = { ok: true; value: T } | { ok: false; fault: Fault };

const NAME = "evenfold-journal";
/** As few versions as can be: what is stored are opaque lines. */
const VERSION = 1;
const EVENTS = "events";
const ASIDE = "aside";
/** So many events are fetched at once: some milliseconds on a slow tablet. */
const PART = 2000;

/** What is kept beside the events; none of it is anybody's record. */
export const ASIDES = ["device", "settings", "card", "backup", "loud", "cable"] as const;
export type Aside = (typeof ASIDES)[number];

/** What may happen to an open store from outside. */
export interface Notices {
  blocked: () => void;
  closed: () => void;
}

/** An open store. */
export class Base {
  private constructor(private readonly base: IDBDatabase) {}

  /** Opens it. `blocked` is called where another page holds an older version; `closed` where this one must go. */
  static open(place: IDBFactory, notices: Notices): Promise<Done<Base>> {
    return attempt<Base>((resolve, reject) => {
      const request = place.open(NAME, VERSION);
      request.onupgradeneeded = () => {
        const base = request.result;
        if (!base.objectStoreNames.contains(EVENTS)) base.createObjectStore(EVENTS, { autoIncrement: true });
        if (!base.objectStoreNames.contains(ASIDE)) base.createObjectStore(ASIDE);
      };
      request.onblocked = notices.blocked;
      request.onerror = () => reject(request.error);
      request.onsuccess = () => {
        const base = request.result;
        base.onversionchange = () => {
          base.close();
          notices.closed();
        };
        base.onclose = notices.closed;
        resolve(new Base(base));
      };
    });
  }

  /**
   * Hands on every event's line in the order in which they were stored, some at a time: on a slow tablet the engine reads
   * the first while the next are fetched. What is no text is handed on as text.
   */
  read(take: (lines: string[]) => void): Promise<Done<void>> {
    return attempt((resolve, reject) => {
      const events = this.reading(EVENTS, reject);
      const last = events.openKeyCursor(null, "prev");
      last.onsuccess = () => {
        const ranges = inParts(last.result?.key);
        for (const range of ranges) {
          const some = events.getAll(range);
          some.onsuccess = () => {
            take(some.result.map((line: unknown) => (typeof line === "string" ? line : asText(line))));
            if (range === ranges.at(-1)) resolve();
          };
        }
      };
    });
  }

  /** Every event's line, at once. */
  async lines(): Promise<Done<string[]>> {
    const all: string[] = [];
    const done = await this.read((lines) => all.push(...lines));
    return done.ok ? { ok: true, value: all } : done;
  }

  /** Lets go of it. */
  close(): void {
    this.base.close();
  }

  /** How many lines there are, and the last of them. */
  end(): Promise<Done<{ count: number; last: unknown }>> {
    return attempt((resolve, reject) => {
      const events = this.reading(EVENTS, reject);
      const count = events.count();
      const last = events.openCursor(null, "prev");
      last.onsuccess = () => resolve({ count: count.result, last: last.result?.value });
    });
  }

  /** Adds lines, and puts things aside with them: all of it or nothing. Done once it is on the disk. */
  add(lines: readonly string[], aside: Partial<Record<Aside, unknown>> = {}): Promise<Done<void>> {
    return attempt((resolve, reject) => {
      const work = this.base.transaction([EVENTS, ASIDE], "readwrite", { durability: "strict" });
      watch(work, resolve, reject);
      for (const line of lines) work.objectStore(EVENTS).add(line);
      for (const [key, value] of Object.entries(aside)) work.objectStore(ASIDE).put(value, key);
      work.commit();
    });
  }

  /** Puts one thing aside. */
  keep(key: Aside, value: unknown): Promise<Done<void>> {
    return attempt((resolve, reject) => {
      const work = this.base.transaction(ASIDE, "readwrite", { durability: "strict" });
      watch(work, resolve, reject);
      work.objectStore(ASIDE).put(value, key);
      work.commit();
    });
  }

  /** What was put aside; nothing where nothing was. */
  kept(key: Aside): Promise<Done<unknown>> {
    return attempt((resolve, reject) => {
      const found = this.reading(ASIDE, reject).get(key);
      found.onsuccess = () => resolve(found.result);
    });
  }

  private reading(store: string, reject: (reason: unknown) => void): IDBObjectStore {
    const work = this.base.transaction(store, "readonly");
    work.onabort = () => reject(work.error);
    return work.objectStore(store);
  }
}

/** The whole store up to its last key, in parts; the first has no beginning and the last no end. */
function inParts(last: IDBValidKey | undefined): (IDBKeyRange | null)[] {
  const parts = typeof last === "number" ? Math.max(1, Math.ceil(last / PART)) : 1;
  if (parts === 1) return [null];
  return Array.from({ length: parts }, (_, at) => {
    if (at === 0) return IDBKeyRange.upperBound(PART);
    if (at === parts - 1) return IDBKeyRange.lowerBound(at * PART, true);
    return IDBKeyRange.bound(at * PART, (at + 1) * PART, true);
  });
}

function watch(work: IDBTransaction, resolve: () => void, reject: (reason: unknown) => void): void {
  work.oncomplete = resolve;
  // A full disk aborts without an error on any request.
  work.onabort = () => reject(work.error);
  work.onerror = () => reject(work.error);
}

function asText(value: unknown): string {
  try {
    return JSON.stringify(value);
  } catch {
    return String(value);
  }
}

/** Does something that the browser may refuse at once or later. */
function attempt<T>(
  work: (resolve: (value: T) => void, reject: (reason: unknown) => void) => void,
): Promise<Done<T>> {
  return new Promise((settle) => {
    const reject = (reason: unknown) => settle({ ok: false, fault: faultOf(reason) });
    try {
      work((value) => settle({ ok: true, value }), reject);
    } catch (reason) {
      reject(reason);
    }
  });
}

function faultOf(reason: unknown): Fault {
  const name = reason instanceof Error ? reason.name : "";
  const detail = reason instanceof Error ? `${name}: ${reason.message}` : String(reason);
  if (name === "QuotaExceededError") return { kind: "full", detail };
  return { kind: name === "InvalidStateError" ? "closed" : "failed", detail };
}
