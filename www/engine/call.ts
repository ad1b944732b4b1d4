/** Questions to the engine: each has an id and a promise of its answer. */
import type { DemoFiles, EweView, NeedQuestion, NeedReply, ProofView, Settings, SortReply } from "./types";
import EngineWorker from "./worker?worker&inline";

/** What may be asked. */
export type Question =
  | { ask: "settings" }
  | { ask: "demo" }
  | { ask: "sort"; flock: Uint8Array; pens: Uint8Array; groups: Uint8Array | null; settings: Settings }
  | { ask: "prove step" }
  | { ask: "ewe"; tag: string }
  | { ask: "usual need" }
  | { ask: "need"; need: NeedQuestion }
  | { ask: "document" }
  | { ask: "list"; pen: string | null };

/** What comes back. */
export interface Answers {
  settings: Settings;
  demo: DemoFiles;
  sort: SortReply;
  "prove step": ProofView | null;
  ewe: EweView | null;
  "usual need": NeedQuestion;
  need: NeedReply;
  document: string | null;
  list: string | null;
}

/** A message from the worker. */
export type Reply =
  { id: number; answer: Answers[keyof Answers] } | { id: number; failure: string; broken: boolean };

/** The question was dropped because the person asked for that. */
export class Stopped extends Error {}

interface Waiting {
  resolve: (answer: never) => void;
  reject: (error: Error) => void;
}

let worker: Worker | undefined;
let last = 0;
const waiting = new Map<number, Waiting>();

/** The packed engine stands at the end of the page, after the script. */
const loaded = new Promise<void>((resolve) => {
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", () => resolve());
  else resolve();
});

/** Asks the engine. It starts when it is first asked, and again after it broke or was stopped. */
export async function ask<Q extends Question>(question: Q): Promise<Answers[Q["ask"]]> {
  await loaded;
  const asked = (worker ??= begin());
  const id = ++last;
  const promise = new Promise<Answers[Q["ask"]]>((resolve, reject) => {
    waiting.set(id, { resolve, reject });
  });
  asked.postMessage({ id, question });
  return promise;
}

/** Ends what the engine is doing; what was asked and not answered is dropped. */
export function stop(): void {
  end(new Stopped());
}

function begin(): Worker {
  const begun = new EngineWorker();
  begun.onmessage = ({ data }: MessageEvent<Reply>) => {
    const asked = waiting.get(data.id);
    waiting.delete(data.id);
    if ("answer" in data) {
      asked?.resolve(data.answer as never);
      return;
    }
    asked?.reject(new Error(data.failure));
    if (data.broken) end(new Error(data.failure));
  };
  begun.onerror = (event) => {
    end(new Error(event.message));
  };
  begun.postMessage({ packed: document.getElementById("engine")?.textContent ?? "" });
  return begun;
}

function end(reason: Error): void {
  worker?.terminate();
  worker = undefined;
  const dropped = [...waiting.values()];
  waiting.clear();
  for (const { reject } of dropped) reject(reason);
}
