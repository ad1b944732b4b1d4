/** The journal on this device: opened from the store, added to, saved as a file, restored. The engine folds it. */
import { batch, computed, signal } from "@preact/signals";
import { askRace as askEngine, type Answers } from "../../engine/call";
import type {
  AppendReply,
  BackupMark,
  BackupWords,
  Card,
  EventLine,
  Now,
  Problem,
  RaceSettings,
  RaceView,
} from "../../engine/types";
import type { RaceQuestion } from "../../engine/race";
import { en } from "../../text/en";
import type { Aside, Fault } from "./base";
import { Copies } from "./copies";
import { hear, hearThere } from "./hear";
import { askToWrite } from "./lock";
import { loud } from "./signal";

/** How far the opening has come. */
export const phase = signal<"shut" | "opening" | "open" | "failed">("shut");

/** Whether this page may write; another that is open may be the one that does. */
export const writes = signal(false);

/** Whether another page writes, and this one waits for it to be closed. */
export const waits = signal(false);

/** What went wrong with the store, in words; empty where nothing did. */
export const storeFault = signal("");

/** Whether the store was written by an older page that is still open. */
export const blocked = signal(false);

/** Whether this page had to let go of the store. */
export const letGo = signal(false);

/** What the screen shows. */
export const view = signal<RaceView | null>(null);

/** What is known before the first ewe. */
export const settings = signal<RaceSettings | null>(null);

/** How old the last backup is. */
export const backup = signal<BackupWords | null>(null);

/** Whether the journal stands here once, and not twice. */
export const once = signal(false);

/** What is said of coming back, until the first entry. */
export const resumed = signal("");

/** That one copy of the store was lost, and brought back from the other. */
export const lostCopy = signal("");

/** Lines of the store that could not be read. */
export const unreadable = signal<Problem[]>([]);

/** Whether something may be entered. */
export const canEnter = computed(() => phase.value === "open" && writes.value && !letGo.value);

let base: Copies | undefined;
let device = "";
let turn: Promise<unknown> = Promise.resolve();

/** Asks the engine. One that broke has forgotten the journal: nothing may be entered until it is opened anew. */
export async function askRace<Q extends RaceQuestion>(question: Q): Promise<Answers[Q["ask"]]> {
  try {
    return await askEngine(question);
  } catch (error) {
    batch(() => {
      writes.value = false;
      phase.value = "failed";
      storeFault.value = en.race.faults.engine(error instanceof Error ? error.message : String(error));
    });
    throw error;
  }
}

/** What this device's clock shows. */
export const now = (): Now => ({ ms: Date.now(), offset_minutes: -new Date().getTimezoneOffset() });

/** This device's name among all devices. */
export const deviceName = (): string => device;

/** One act after the other: each is stored before the next begins. */
export function inTurn<T>(act: () => Promise<T>): Promise<T> {
  const done = turn.then(act, act);
  turn = done.catch(() => undefined);
  return done;
}

/** Opens the journal, once. The card that was left unfinished comes back. */
export function openJournal(): Promise<Card | null> {
  const isDone = phase.value === "opening" || (phase.value === "open" && (writes.value || waits.value));
  if (isDone) return Promise.resolve(null);
  phase.value = "opening";
  return inTurn(open);
}

async function open(): Promise<Card | null> {
  // The engine begins to read while the page opens the store. Where that fails, whoever waits for it hears of it.
  const there = hearThere();
  there.catch(() => undefined);
  const opened = await Copies.open({
    blocked: () => (blocked.value = true),
    closed: () => (letGo.value = true),
  });
  blocked.value = false;
  if (!opened.ok) return fail(opened.fault);
  base = opened.value;
  storeFault.value = "";
  if (!(await fold(base, there))) return null;
  const card = await base.kept("card");
  phase.value = "open";
  askToWrite(mine, () => {
    waits.value = true;
    writes.value = false;
    drafted();
  });
  return card.ok && card.value ? (card.value as Card) : null;
}

/** Reads all that is stored, and has the engine fold it. */
async function fold(from: Copies, there: Promise<number | null>): Promise<boolean> {
  const [usual, taken, name, kept, sound] = await Promise.all([
    askRace({ ask: "race usual", now: now() }),
    hear(from, there),
    from.kept("device"),
    from.kept("settings"),
    from.kept("loud"),
  ]);
  for (const read of [taken, name, kept, sound]) {
    if (!read.ok) {
      fail(read.fault);
      return false;
    }
  }
  if (!taken.ok || !name.ok || !kept.ok || !sound.ok) return false;
  device = typeof name.value === "string" ? name.value : "";
  loud.value = sound.value !== false;
  const last = { ...usual, ...(kept.value as Partial<RaceSettings> | undefined) };
  // What was said for a race of an earlier season is not said for this one.
  const still = await askRace({ ask: "race still", settings: last, now: now() });
  batch(() => {
    unreadable.value = taken.value && taken.value.unread > 0 ? taken.value.problems : [];
    settings.value = still;
  });
  // The gate stands before the draft is made: on a slow tablet that takes longer than all the rest.
  await showGate();
  resumed.value = view.value?.resumed ?? "";
  return true;
}

/** This page writes from now on: alone, or after another was closed, whose entries are read then. */
function mine(): void {
  void inTurn(async () => {
    if (!base) return;
    const waited = waits.value;
    waits.value = false;
    const levelled = await base.level();
    if (!levelled.ok) return void fail(levelled.fault);
    // What another page entered, or what one copy alone had, the engine has not heard yet.
    if (waited || levelled.value > 0) await fold(base, hearThere());
    if (levelled.value > 0) lostCopy.value = en.race.broughtBack(levelled.value);
    if (device === "") {
      device = `d${randomName()}`;
      const kept = await base.keep("device", device);
      if (!kept.ok) return void fail(kept.fault);
    }
    writes.value = true;
    await showGate();
    drafted();
  });
}

/** Has the engine make the draft while nobody stands at the gate, and say what it stands on. */
function drafted(): void {
  requestAnimationFrame(() =>
    setTimeout(() => {
      void askRace({ ask: "race catch up" });
      void inTurn(async () => {
        view.value = await askRace({ ask: "race view", device, now: now() });
      });
    }),
  );
}

/** A name that no other device has. */
function randomName(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(6));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Says what went wrong with the store. */
export function fail(fault: Fault): null {
  batch(() => {
    phase.value = phase.value === "open" ? "open" : "failed";
    storeFault.value = en.race.faults[fault.kind](fault.detail);
  });
  return null;
}

/** Has the engine say what the gate shows, without the draft. */
async function showGate(): Promise<void> {
  const known = settings.value;
  if (!known) return;
  view.value = await askRace({ ask: "race begin", request: { device, now: now(), settings: known } });
  await tellAge();
}

/** Has the engine say anew what the screen shows. */
export async function show(): Promise<void> {
  const known = settings.value;
  if (!known) return;
  once.value = base?.isAlone ?? false;
  view.value = await askRace({ ask: "race open", request: { device, now: now(), settings: known } });
  await tellAge();
}

/** Stores lines. Where that fails the engine is set back to what is stored, so that nothing unsaved looks saved. */
export async function store(lines: readonly EventLine[], aside: Partial<Record<Aside, unknown>> = {}) {
  if (!base) return false;
  const done = await base.add(
    lines.map(({ line }) => line),
    aside,
  );
  if (done.ok) {
    storeFault.value = "";
    resumed.value = "";
    return true;
  }
  fail(done.fault);
  await setBack();
  return false;
}

/** The engine forgets what could not be stored. What cannot be read again either stays until the page is opened. */
async function setBack(): Promise<void> {
  // Read before the engine forgets: where that fails too, its memory is all that is left to save as a file.
  const lines = await base?.lines();
  if (!lines?.ok) {
    batch(() => {
      writes.value = false;
      phase.value = "failed";
    });
    return;
  }
  await askRace({ ask: "race forget" });
  await askRace({ ask: "race hear", lines: lines.value });
  await askRace({ ask: "race take heard" });
  await show();
}

/** Puts something aside; where that fails it is said. */
export async function putAside(key: Aside, value: unknown): Promise<boolean> {
  if (!base || !writes.value) return false;
  const done = await base.keep(key, value);
  if (!done.ok) fail(done.fault);
  return done.ok;
}

/** Changes what is known before the first ewe. */
export function change(to: Partial<RaceSettings>): Promise<void> {
  return inTurn(async () => {
    if (!settings.value) return;
    settings.value = { ...settings.value, ...to };
    await putAside("settings", settings.value);
    await show();
  });
}

/** Undoes an act, or brings it back. */
export function undo(act: string): Promise<AppendReply | null> {
  return inTurn(async () => {
    if (!canEnter.value) return null;
    const reply = await askRace({ ask: "race undo", request: { device, now: now(), act } });
    if (reply.kind !== "appended") return reply;
    if (!(await store(reply.lines))) return null;
    view.value = await askRace({ ask: "race view", device, now: now() });
    return reply;
  });
}

/** Has the engine say how old the backup is. */
export async function tellAge(mark?: BackupMark): Promise<void> {
  const kept = mark ? null : await base?.kept("backup");
  const known = mark ?? ((kept?.ok ? kept.value : null) as BackupMark | null) ?? null;
  backup.value = await askRace({ ask: "race backup", mark: known, now: now() });
}

/** The store, where it is open. */
export const openBase = (): Copies | undefined => base;
