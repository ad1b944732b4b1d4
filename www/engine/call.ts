/** Questions to the engine: each has an id and a promise of its answer. */
import type {
  CardReply,
  CardRequest,
  DemoFiles,
  DemoOldPens,
  EweView,
  MoveReply,
  NeedQuestion,
  NeedReply,
  PenCountReply,
  PickedView,
  PlanQuestion,
  PlanReply,
  ProofView,
  RationQuestion,
  RationReply,
  RegroupReply,
  RegroupView,
  Settings,
  SortReply,
  Trying,
} from "./types";
import type { RaceAnswers, RaceQuestion } from "./race";
import { toBegin } from "./compiled";
import EngineWorker from "./worker?worker&inline";

/** The lists and settings that a question about the whole flock carries. */
export interface Flock {
  flock: Uint8Array;
  pens: Uint8Array;
  groups: Uint8Array | null;
  settings: Settings;
}

/** What may be asked. */
export type Question =
  | { ask: "settings" }
  | { ask: "demo" }
  | ({ ask: "sort" } & Flock)
  | { ask: "prove step" }
  | { ask: "ewe"; tag: string }
  | { ask: "picked"; tag: string }
  | { ask: "put"; tag: string; pen: string }
  | { ask: "take back" }
  | { ask: "usual need" }
  | { ask: "need"; need: NeedQuestion }
  | { ask: "document" }
  | { ask: "list"; pen: string | null }
  | { ask: "workbook" }
  | Aside
  | RaceQuestion;

/** Questions that take long and need no sort: a second engine answers them, so that it may be stopped alone. */
export type Aside =
  | { ask: "old pens" }
  | ({ ask: "regroup"; lists: Uint8Array[] } & Flock)
  | { ask: "regroup moves"; moves: number }
  | ({ ask: "card"; card: CardRequest } & Flock)
  | ({ ask: "pen count"; areBuilt: boolean } & Flock)
  | { ask: "usual plan" }
  | { ask: "demo feeds" }
  | { ask: "usual ration" }
  | { ask: "trying"; feeds: Uint8Array }
  | { ask: "ration"; feeds: Uint8Array; question: RationQuestion }
  | ({ ask: "plan"; feeds: Uint8Array; loads: Uint8Array | null; question: PlanQuestion } & Flock)
  | { ask: "plan list"; what: "loads" | "orders" }
  | { ask: "plan workbook" };

/** What comes back. */
export interface Answers extends RaceAnswers {
  settings: Settings;
  demo: DemoFiles;
  sort: SortReply;
  "prove step": ProofView | null;
  ewe: EweView | null;
  picked: PickedView | null;
  put: MoveReply | null;
  "take back": MoveReply | null;
  "usual need": NeedQuestion;
  need: NeedReply;
  document: string | null;
  list: string | null;
  workbook: Uint8Array<ArrayBuffer> | null;
  "old pens": DemoOldPens | null;
  regroup: RegroupReply;
  "regroup moves": RegroupView | null;
  card: CardReply;
  "pen count": PenCountReply;
  "usual plan": PlanQuestion;
  "demo feeds": string;
  "usual ration": RationQuestion;
  trying: Trying;
  ration: RationReply;
  plan: PlanReply;
  "plan list": string | null;
  "plan workbook": Uint8Array<ArrayBuffer> | null;
}

/** A message from the worker; the module comes once, from whoever compiled it, for the others. */
export type Reply =
  | { module: WebAssembly.Module | null }
  | { id: number; answer: Answers[keyof Answers] }
  | { id: number; failure: string; broken: boolean };

/** The question was dropped because the person asked for that. */
export class Stopped extends Error {}

interface Waiting {
  resolve: (answer: never) => void;
  reject: (error: Error) => void;
}

/** The packed engine stands at the end of the page, after the script. */
const loaded = new Promise<void>((resolve) => {
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", () => resolve());
  else resolve();
});

/** One engine on a thread of its own. It starts when it is first asked, and again after it broke or was stopped. */
class Line {
  private worker: Worker | undefined;
  private last = 0;
  private readonly waiting = new Map<number, Waiting>();
  /** Lets those who wait for what this one compiles go on without it. */
  private unfinished: () => void = () => undefined;

  async ask<Q extends Question>(question: Q): Promise<Answers[Q["ask"]]> {
    await loaded;
    const asked = (this.worker ??= this.begin());
    const id = ++this.last;
    const promise = new Promise<Answers[Q["ask"]]>((resolve, reject) => {
      this.waiting.set(id, { resolve, reject });
    });
    asked.postMessage({ id, question });
    return promise;
  }

  end(reason: Error): void {
    this.worker?.terminate();
    this.worker = undefined;
    this.unfinished();
    const dropped = [...this.waiting.values()];
    this.waiting.clear();
    for (const { reject } of dropped) reject(reason);
  }

  /** Whether something was asked and not answered. */
  get works(): boolean {
    return this.waiting.size > 0;
  }

  private begin(): Worker {
    const begun = new EngineWorker();
    const { handed, give } = toBegin();
    this.unfinished = () => give(null);
    begun.onmessage = ({ data }: MessageEvent<Reply>) => {
      if ("module" in data) {
        give(data.module);
        return;
      }
      const asked = this.waiting.get(data.id);
      this.waiting.delete(data.id);
      if ("answer" in data) {
        asked?.resolve(data.answer as never);
        return;
      }
      asked?.reject(new Error(data.failure));
      if (data.broken) this.end(new Error(data.failure));
    };
    const failed = (message: string) => {
      if (this.worker === begun) this.end(new Error(message));
    };
    begun.onerror = (event) => failed(event.message);
    handed.then(
      (engine) => begun.postMessage(engine, "file" in engine ? [engine.file] : []),
      (error: unknown) => failed(error instanceof Error ? error.message : String(error)),
    );
    return begun;
  }
}

const [sorting, aside, racing] = [new Line(), new Line(), new Line()];

/** Questions to the engine that holds the sort. */
export type OfSort = Exclude<Question, Aside | RaceQuestion>;

/** Asks the engine that holds the sort. */
export function ask<Q extends OfSort>(question: Q): Promise<Answers[Q["ask"]]> {
  return sorting.ask(question);
}

/** Asks the second engine. */
export function askAside<Q extends Aside>(question: Q): Promise<Answers[Q["ask"]]> {
  return aside.ask(question);
}

/** Asks the engine that holds the journal. */
export function askRace<Q extends RaceQuestion>(question: Q): Promise<Answers[Q["ask"]]> {
  return racing.ask(question);
}

/** Ends what the engine is doing; what was asked and not answered is dropped. */
export function stop(): void {
  sorting.end(new Stopped());
}

/** The same of the second engine, where it is doing something. */
export function stopAside(): void {
  if (aside.works) aside.end(new Stopped());
}
