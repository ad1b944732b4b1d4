/** Questions to the engine that holds the journal: a third one, so that no long sort ever stands in its way. */
import type { RaceEngine } from "evenfold-engine";
import type {
  AppendReply,
  BackupMark,
  BackupWords,
  BringReply,
  BringRequest,
  Card,
  DateOrder,
  DivideRequest,
  Divided,
  Gate,
  Given,
  LeaveRequest,
  Left,
  ListOf,
  LookedUp,
  LookRequest,
  Moved,
  MovedRequest,
  Now,
  OpenRequest,
  RaceRequest,
  RaceSettings,
  RaceView,
  Restored,
  Stands,
  TakeReply,
  UndoRequest,
} from "./types";
import { Base } from "../store/journal/base";

/** What may be asked of the journal. */
export type RaceQuestion =
  | { ask: "race hear store" }
  | { ask: "race hear"; lines: string[] }
  | { ask: "race take heard" }
  | { ask: "race forget" }
  | { ask: "race usual"; now: Now }
  | { ask: "race still"; settings: RaceSettings; now: Now }
  | { ask: "race begin"; request: OpenRequest }
  | { ask: "race open"; request: OpenRequest }
  | { ask: "race view"; device: string; now: Now }
  | { ask: "race look"; request: LookRequest }
  | { ask: "race number" }
  | { ask: "race answer"; card: Card }
  | { ask: "race catch up" }
  | { ask: "race enter"; request: RaceRequest }
  | { ask: "race undo"; request: UndoRequest }
  | ({ ask: "race bring"; request: BringRequest } & Lists)
  | { ask: "race restore"; bytes: Uint8Array; sure: boolean }
  | { ask: "race file" }
  | { ask: "race lists" }
  | { ask: "race stands" }
  | { ask: "race moved"; request: MovedRequest }
  | { ask: "race leave"; request: LeaveRequest }
  | { ask: "race divide"; request: DivideRequest }
  | { ask: "race backup"; mark: BackupMark | null; now: Now };

/** Lists to bring in, how their dates are meant where that was asked, and of which year the flock list is. */
export interface Lists {
  dates?: DateOrder;
  listOf?: ListOf;
  flock: Uint8Array | null;
  pens: Uint8Array | null;
  groups: Uint8Array | null;
}

/** What comes back. */
export interface RaceAnswers {
  "race hear store": number | null;
  "race hear": null;
  "race take heard": TakeReply;
  "race forget": null;
  "race usual": RaceSettings;
  "race still": RaceSettings;
  "race begin": RaceView;
  "race open": RaceView;
  "race view": RaceView;
  "race look": LookedUp;
  "race number": string;
  "race answer": Gate;
  "race catch up": null;
  "race enter": Given;
  "race undo": AppendReply;
  "race bring": BringReply;
  "race restore": Restored;
  "race file": string;
  "race lists": { flock: string; pens: string | null; groups: string | null };
  "race stands": Stands;
  "race moved": Moved;
  "race leave": Left;
  "race divide": Divided;
  "race backup": BackupWords;
}

/** Nothing is said of a store that is opened for reading alone. */
const QUIET = { blocked: () => undefined, closed: () => undefined };

/**
 * Has the engine hear what the store holds, fetched on its own thread while the page is drawn. How many lines; null where
 * that thread cannot read the store, and the page must.
 */
export async function hearStore(race: Promise<RaceEngine>): Promise<number | null> {
  const store = await Base.open(self.indexedDB, QUIET);
  if (!store.ok) return null;
  let count = 0;
  let heard: Promise<unknown> = race;
  const read = await store.value.read((lines) => {
    count += lines.length;
    heard = heard.then(async () => (await race).hear(lines.join("\n")));
  });
  store.value.close();
  await heard;
  return read.ok ? count : null;
}

/** What is answered at once. */
export type AtOnce = Exclude<RaceQuestion, { ask: "race hear store" }>;

/** Answers one question; on the engine's own thread. */
export function raceAnswer(race: RaceEngine, question: AtOnce): RaceAnswers[AtOnce["ask"]] {
  switch (question.ask) {
    case "race hear":
      race.hear(question.lines.join("\n"));
      return null;
    case "race take heard":
      return race.takeHeard();
    case "race forget":
      race.forget();
      return null;
    case "race usual":
      return race.usual(question.now);
    case "race still":
      return race.still(question.settings, question.now);
    case "race begin":
      return race.begin(question.request);
    case "race open":
      return race.open(question.request);
    case "race view":
      return race.view(question.device, question.now);
    case "race look":
      return race.look(question.request);
    case "race number":
      return race.nextNumber();
    case "race answer":
      return race.answer(question.card);
    case "race catch up":
      race.catchUp();
      return null;
    case "race enter":
      return race.enter(question.request);
    case "race undo":
      return race.undo(question.request);
    case "race bring": {
      const { request, dates, listOf, flock, pens, groups } = question;
      const asked = { ...request, ...(dates && { dates }), ...(listOf && { list_of: listOf }) };
      return race.bring(asked, flock, pens, groups);
    }
    case "race restore":
      return race.restore(question.bytes, question.sure);
    case "race file":
      return race.file();
    case "race lists":
      return { flock: race.flockCsv(), pens: race.pensCsv() ?? null, groups: race.groupsCsv() ?? null };
    case "race stands":
      return race.stands();
    case "race moved":
      return race.moved(question.request);
    case "race leave":
      return race.leave(question.request);
    case "race divide":
      return race.divide(question.request);
    case "race backup":
      return race.backupAge(question.mark, question.now);
  }
}
