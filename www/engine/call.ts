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
import { partCount, toBegin, type Handed } from "./compiled";
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

/** A message to the worker: a part of the engine, or a question that needs the parts up to one. */
export type Message = ({ part: number } & Handed) | { id: number; part: number; question: Question };

/** A message from the worker; a module comes once, from whoever compiled it, for the others. */
export type Reply =
  | { part: number; module: WebAssembly.Module | null }
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

/** The last part that a question needs where the engine is in parts: see the classes of `src/wasm`. */
const LAST = { race: 0, sort: 1, aside: 2 };

/** What the first part knows, whoever asks. */
const isOfFirst = ({ ask }: Question) => ask === "settings" || ask === "demo";

/** One engine on a thread of its own. It starts when it is first asked, and again after it broke or was stopped. */
class Line {
  private worker: Worker | undefined;
  private last = 0;
  private readonly waiting = new Map<number, Waiting>();
  /** How many parts the worker was handed, or will be. */
  private parts = 0;
  /** Takes what the worker compiled of each part, for the others, who wait for it. */
  private readonly give = new Map<number, (module: WebAssembly.Module | null) => void>();

  constructor(private readonly kind: keyof typeof LAST) {}

  async ask<Q extends Question>(question: Q): Promise<Answers[Q["ask"]]> {
    await loaded;
    const asked = (this.worker ??= this.begin());
    const part = Math.min(isOfFirst(question) ? 0 : LAST[this.kind], partCount() - 1);
    while (this.parts <= part) this.hand(asked, this.parts++);
    const id = ++this.last;
    const promise = new Promise<Answers[Q["ask"]]>((resolve, reject) => {
      this.waiting.set(id, { resolve, reject });
    });
    asked.postMessage({ id, part, question });
    return promise;
  }

  end(reason: Error): void {
    this.worker?.terminate();
    this.worker = undefined;
    this.parts = 0;
    for (const give of this.give.values()) give(null);
    this.give.clear();
    const dropped = [...this.waiting.values()];
    this.waiting.clear();
    for (const { reject } of dropped) reject(reason);
  }

  /** Whether something was asked and not answered. */
  get works(): boolean {
    return this.waiting.size > 0;
  }

  /** Hands a worker a part, as soon as it is there. */
  private hand(worker: Worker, part: number): void {
    const { handed, give } = toBegin(part);
    this.give.set(part, give);
    handed.then(
      (engine) => worker.postMessage({ part, ...engine }, "file" in engine ? [engine.file] : []),
      (error: unknown) => this.failed(worker, error instanceof Error ? error.message : String(error)),
    );
  }

  private failed(worker: Worker, message: string): void {
    if (this.worker === worker) this.end(new Error(message));
  }

  private begin(): Worker {
    const begun = new EngineWorker();
    begun.onmessage = ({ data }: MessageEvent<Reply>) => {
      if ("module" in data) {
        this.give.get(data.part)?.(data.module);
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
    begun.onerror = (event) => this.failed(begun, event.message);
    return begun;
  }
}

const [sorting, aside, racing] = [new Line("sort"), new Line("aside"), new Line("race")];

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
