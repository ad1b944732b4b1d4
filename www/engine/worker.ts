/** The engine on its own thread: it unpacks itself, then answers one question after the other. */
import start, { AsideEngine, RaceEngine, SortEngine, defaultSettings, demoFiles } from "evenfold-engine";
import type { Answers, Message, Question, Reply } from "./call";
import type { Handed } from "./compiled";
import { hearStore, raceAnswer } from "./race";

/** What each part that runs hands on to later ones, by its number. */
const running: WebAssembly.Exports[] = [];

/** A part that somebody waits for. */
interface Part {
  runs: Promise<void>;
  take: (handed: Handed) => void;
}
const parts: Part[] = [];
let race: RaceEngine | undefined;
let sort: SortEngine | undefined;
let aside: AsideEngine | undefined;

self.onmessage = async ({ data }: MessageEvent<Message>) => {
  if (!("question" in data)) {
    theParts(data.part)[data.part]?.take(data);
    return;
  }
  const { id, part, question } = data;
  const ready = theParts(part)[part]?.runs;
  try {
    let found: Answers[Question["ask"]];
    if (question.ask === "race hear store") {
      found = await hearStore(Promise.resolve(ready).then(theRace));
    } else {
      await ready;
      found = answer(question);
    }
    tell({ id, answer: found });
  } catch (error) {
    // A trap leaves the engine in no state to go on; an error that it reports itself does not.
    const broken = error instanceof WebAssembly.RuntimeError || running.length <= part;
    tell({ id, failure: error instanceof Error ? error.message : String(error), broken });
  }
};

/** The parts up to one of them: each runs once it is handed and those before it run. */
function theParts(last: number): Part[] {
  while (parts.length <= last) {
    const number = parts.length;
    const before = parts.at(-1)?.runs;
    let take: (handed: Handed) => void = () => undefined;
    const handed = new Promise<Handed>((resolve) => (take = resolve));
    const runs = handed.then((its) => begin(number, its, before));
    // Whoever asks first hears of a failure.
    runs.catch(() => undefined);
    parts.push({ runs, take });
  }
  return parts;
}

function tell(reply: Reply): void {
  self.postMessage(reply);
}

const theRace = () => (race ??= new RaceEngine());
const theSort = () => (sort ??= new SortEngine());
const theAside = () => (aside ??= new AsideEngine());

type AtOnce = Exclude<Question, { ask: "race hear store" }>;

function answer(question: AtOnce): Answers[AtOnce["ask"]] {
  switch (question.ask) {
    case "settings":
      return defaultSettings();
    case "demo":
      return demoFiles();
    case "sort": {
      const { flock, pens, groups, settings } = question;
      return theSort().sort(flock, pens, groups, settings);
    }
    case "prove step":
      return theSort().proveStep() ?? null;
    case "ewe":
      return theSort().ewe(question.tag) ?? null;
    case "picked":
      return theSort().picked(question.tag) ?? null;
    case "put":
      return theSort().putInto(question.tag, question.pen) ?? null;
    case "take back":
      return theSort().takeBack() ?? null;
    case "usual need":
      return theSort().defaultNeedQuestion();
    case "need":
      return theSort().need(question.need);
    case "document":
      return theSort().documentJson() ?? null;
    case "list":
      return theSort().penCsv(question.pen) ?? null;
    case "workbook":
      return file(theSort().penWorkbook());
    case "old pens":
      return theAside().demoOldPens() ?? null;
    case "regroup": {
      const { flock, pens, groups, settings, lists } = question;
      return theAside().regroup(flock, pens, groups, settings, lists);
    }
    case "regroup moves":
      return theAside().regroupMoves(question.moves) ?? null;
    case "card": {
      const { flock, pens, groups, settings, card } = question;
      return theAside().card(flock, pens, groups, settings, card);
    }
    case "pen count": {
      const { flock, pens, groups, settings, areBuilt } = question;
      return theAside().penCount(flock, pens, groups, settings, areBuilt);
    }
    case "usual plan":
      return theAside().usualPlan();
    case "demo feeds":
      return theAside().demoFeeds();
    case "usual ration":
      return theAside().usualRation();
    case "trying":
      return theAside().trying(question.feeds);
    case "ration":
      return theAside().ration(question.feeds, question.question);
    case "plan": {
      const { flock, pens, groups, settings, feeds, loads } = question;
      return theAside().feedingPlan(flock, pens, groups, settings, feeds, loads, question.question);
    }
    case "plan list":
      return (question.what === "loads" ? theAside().loadCsv() : theAside().ordersCsv()) ?? null;
    case "plan workbook":
      return file(theAside().planWorkbook());
    default:
      return raceAnswer(theRace(), question);
  }
}

/** Bytes of the page's own, out of the engine's memory. */
function file(bytes: Uint8Array | undefined): Uint8Array<ArrayBuffer> | null {
  return bytes ? new Uint8Array(bytes) : null;
}

/** Unpacks and compiles a part, where nobody did before, and runs it behind those that it needs. */
async function begin(part: number, handed: Handed, before: Promise<void> | undefined): Promise<void> {
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
      tell({ part, module });
    } catch {
      tell({ part, module: null });
    }
  }
  await before;
  // The first part starts as a whole engine does; the others find those before them under their numbers.
  running[part] = before
    ? new WebAssembly.Instance(module, Object.fromEntries(running.entries())).exports
    : ((await start({ module_or_path: module })) as unknown as WebAssembly.Exports);
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
