/** The engine on its own thread: it unpacks itself, then answers one question after the other. */
import start, { Engine, RaceEngine } from "evenfold-engine";
import type { Answers, Question, Reply } from "./call";
import type { Handed } from "./compiled";
import { hearStore, raceAnswer } from "./race";

let hand: (handed: Handed) => void = () => undefined;
const engine = new Promise<Handed>((resolve) => (hand = resolve)).then(begin);
// Whoever asks first hears of a failure.
engine.catch(() => undefined);
let race: RaceEngine | undefined;
let running = false;

self.onmessage = async ({ data }: MessageEvent<Handed | { id: number; question: Question }>) => {
  if (!("question" in data)) {
    hand(data);
    return;
  }
  const { id, question } = data;
  try {
    const found =
      question.ask === "race hear store"
        ? await hearStore(engine.then(theRace))
        : answer(await engine, question);
    tell({ id, answer: found });
  } catch (error) {
    // A trap leaves the engine in no state to go on; an error that it reports itself does not.
    const broken = error instanceof WebAssembly.RuntimeError || !running;
    tell({ id, failure: error instanceof Error ? error.message : String(error), broken });
  }
};

function tell(reply: Reply): void {
  self.postMessage(reply);
}

const theRace = () => (race ??= new RaceEngine());

function answer(
  engine: Engine,
  question: Exclude<Question, { ask: "race hear store" }>,
): Answers[Question["ask"]] {
  switch (question.ask) {
    case "settings":
      return engine.defaultSettings();
    case "demo":
      return engine.demoFiles();
    case "sort": {
      const { flock, pens, groups, settings } = question;
      return engine.sort(flock, pens, groups, settings);
    }
    case "prove step":
      return engine.proveStep() ?? null;
    case "ewe":
      return engine.ewe(question.tag) ?? null;
    case "picked":
      return engine.picked(question.tag) ?? null;
    case "put":
      return engine.putInto(question.tag, question.pen) ?? null;
    case "take back":
      return engine.takeBack() ?? null;
    case "usual need":
      return engine.defaultNeedQuestion();
    case "need":
      return engine.need(question.need);
    case "document":
      return engine.documentJson() ?? null;
    case "list":
      return engine.penCsv(question.pen) ?? null;
    case "workbook":
      return file(engine.penWorkbook());
    case "old pens":
      return engine.demoOldPens() ?? null;
    case "regroup": {
      const { flock, pens, groups, settings, lists } = question;
      return engine.regroup(flock, pens, groups, settings, lists);
    }
    case "regroup moves":
      return engine.regroupMoves(question.moves) ?? null;
    case "card": {
      const { flock, pens, groups, settings, card } = question;
      return engine.card(flock, pens, groups, settings, card);
    }
    case "pen count": {
      const { flock, pens, groups, settings, areBuilt } = question;
      return engine.penCount(flock, pens, groups, settings, areBuilt);
    }
    case "usual plan":
      return engine.usualPlan();
    case "demo feeds":
      return engine.demoFeeds();
    case "usual ration":
      return engine.usualRation();
    case "trying":
      return engine.trying(question.feeds);
    case "ration":
      return engine.ration(question.feeds, question.question);
    case "plan": {
      const { flock, pens, groups, settings, feeds, loads } = question;
      return engine.feedingPlan(flock, pens, groups, settings, feeds, loads, question.question);
    }
    case "plan list":
      return (question.what === "loads" ? engine.loadCsv() : engine.ordersCsv()) ?? null;
    case "plan workbook":
      return file(engine.planWorkbook());
    default:
      return raceAnswer(theRace(), question);
  }
}

/** Bytes of the page's own, out of the engine's memory. */
function file(bytes: Uint8Array | undefined): Uint8Array<ArrayBuffer> | null {
  return bytes ? new Uint8Array(bytes) : null;
}

async function begin(handed: Handed): Promise<Engine> {
  let module = "module" in handed ? handed.module : null;
  if (!module) {
    const bytes =
      "file" in handed ? new Uint8Array(handed.file) : fromText("packed" in handed ? handed.packed : "");
    // Not by way of a Blob: WebKit cannot read one on the thread of a page of file://.
    const packer = new DecompressionStream("gzip");
    const into = packer.writable.getWriter();
    // What goes wrong is heard where it is read.
    into.write(bytes).catch(() => undefined);
    into.close().catch(() => undefined);
    module = await WebAssembly.compile(await new Response(packer.readable).arrayBuffer());
    try {
      tell({ module });
    } catch {
      tell({ module: null });
    }
  }
  await start({ module_or_path: module });
  running = true;
  return new Engine();
}

/** Seven bits a sign: see the page's build. */
function fromText(packed: string): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array((packed.length * 7) >> 3);
  for (let at = 0, to = 0, held = 0, bits = 0; at < packed.length; at++) {
    held = ((held << 7) | (packed.charCodeAt(at) & 127)) & 32_767;
    bits += 7;
    if (bits >= 8) bytes[to++] = held >> (bits -= 8);
  }
  return bytes;
}
