/**
 * A tag reader on a serial port (Web Serial), in browsers that have it. Its lines go the way of what a reader types:
 * what they mean the engine says.
 */
import { signal } from "@preact/signals";
import { say } from "../screen";
import { en } from "../../text/en";
import { openBase, putAside } from "./journal";
import { decided } from "./decided";

/** The parts of Web Serial that are used; the browser's own types do not have them yet. */
interface Port extends EventTarget {
  readonly readable: ReadableStream<Uint8Array> | null;
  open: (options: { baudRate: number }) => Promise<void>;
  close: () => Promise<void>;
}
interface Serial extends EventTarget {
  requestPort: () => Promise<Port>;
  getPorts: () => Promise<Port[]>;
}

/** Speeds to choose from; the first is what readers are set to unless somebody changed it (common practice, no source). */
export const BAUDS = [9600, 19200, 38400, 57600, 115200] as const;
/** A line without an end counts as ended after so long a silence: some readers send none (our choice). */
const SILENCE_MS = 500;
/** No line is longer; what is, is noise of a wrong speed. */
const LONGEST = 300;

/** How it stands with the reader. */
export const cable = signal<{ state: "shut" | "open" | "lost" | "back" | "failed"; detail: string }>({
  state: "shut",
  detail: "",
});

/** The speed. */
export const baud = signal<number>(BAUDS[0]);

let port: Port | undefined;
let reader: ReadableStreamDefaultReader<Uint8Array> | undefined;
let wanted = false;
let closing: Promise<void> = Promise.resolve();
let take: (text: string) => void = () => undefined;

const serial = (): Serial | undefined => (navigator as Navigator & { serial?: Serial }).serial;

/** Whether this browser has it. */
export const hasCable = (): boolean => serial() !== undefined;

/** Listens at the race; a reader that was chosen at an earlier visit is opened by itself. The answer ends it. */
export function watchCable(on: (text: string) => void): () => void {
  const ports = serial();
  if (!ports) return () => undefined;
  let isOver = false;
  take = on;
  const plugged = () => {
    if (wanted && cable.value.state !== "open") void openKnown();
  };
  ports.addEventListener("connect", plugged);
  void decided().then(async () => {
    const kept = await openBase()?.kept("cable");
    if (isOver || !kept?.ok || typeof kept.value !== "number") return;
    baud.value = kept.value;
    wanted = true;
    await openKnown();
  });
  return () => {
    isOver = true;
    ports.removeEventListener("connect", plugged);
    take = () => undefined;
    wanted = false;
    void shut();
  };
}

/** Has the person choose the reader, and opens it. */
export async function chooseCable(): Promise<void> {
  try {
    const chosen = await serial()?.requestPort();
    if (!chosen) return;
    await shut();
    wanted = true;
    void putAside("cable", baud.value);
    await open(chosen);
  } catch (error) {
    // Nothing chosen is an answer as well.
    if (error instanceof Error && error.name !== "NotFoundError") fail(error);
  }
}

/** Opens the reader that may be used already. */
export async function openKnown(): Promise<void> {
  const known = (await serial()?.getPorts()) ?? [];
  const [first] = known;
  if (first && cable.value.state !== "open") await open(first);
}

/** Lets go of the reader, and does not open it by itself any more. */
export async function leaveCable(): Promise<void> {
  wanted = false;
  void putAside("cable", null);
  await shut();
}

/** The reader is set to another speed. */
export async function setBaud(to: number): Promise<void> {
  baud.value = to;
  if (!wanted) return;
  void putAside("cable", to);
  await shut();
  await openKnown();
}

/** The person saw that it is back. */
export function heardBack(): void {
  if (cable.value.state === "back") cable.value = { state: "open", detail: "" };
}

async function open(chosen: Port): Promise<void> {
  const wasLost = cable.value.state === "lost";
  await closing;
  try {
    await chosen.open({ baudRate: baud.value });
  } catch (error) {
    fail(error);
    return;
  }
  port = chosen;
  cable.value = { state: wasLost ? "back" : "open", detail: "" };
  say(wasLost ? en.race.cable.back : en.race.cable.open);
  void listenTo(chosen);
}

function shut(): Promise<void> {
  const [held, listens] = [port, reader];
  [port, reader] = [undefined, undefined];
  cable.value = { state: "shut", detail: "" };
  closing = closing.then(async () => {
    try {
      await listens?.cancel();
      await held?.close();
    } catch {
      // It is gone already.
    }
  });
  return closing;
}

function fail(error: unknown): void {
  const detail = error instanceof Error ? error.message : String(error);
  cable.value = { state: "failed", detail };
  say(en.race.cable.failed(detail));
}

async function listenTo(of: Port): Promise<void> {
  const lines = inLines((line) => take(line));
  // A garbled byte ends the stream, and the port has a new one; a port that is lost has none.
  while (port === of && of.readable) {
    const stream: ReadableStream<Uint8Array> = of.readable;
    const mine = stream.getReader();
    reader = mine;
    try {
      for (;;) {
        const { value, done } = await mine.read();
        if (done) break;
        lines.more(value);
      }
    } catch {
      // The next turn shows whether it is lost.
    } finally {
      mine.releaseLock();
    }
    if (of.readable === stream) break;
  }
  lines.end();
  if (port !== of) return;
  port = undefined;
  cable.value = { state: "lost", detail: "" };
  say(en.race.cable.lost);
  try {
    await of.close();
  } catch {
    // It is gone already.
  }
}

/** Bytes as they come, cut anywhere, as lines; whatever ends a line: CR, LF, both, nought or silence. */
function inLines(emit: (line: string) => void): { more: (bytes: Uint8Array) => void; end: () => void } {
  // Every byte is a letter in it, so that noise is no error.
  const letters = new TextDecoder("windows-1252");
  let rest = "";
  let silence: ReturnType<typeof setTimeout> | undefined;
  const tell = (line: string) => {
    if (line.trim() !== "") emit(line.trim());
  };
  const end = () => {
    clearTimeout(silence);
    const line = rest;
    rest = "";
    tell(line);
  };
  return {
    more: (bytes) => {
      clearTimeout(silence);
      // eslint-disable-next-line no-control-regex -- a nought ends a line with some readers
      const parts = (rest + letters.decode(bytes, { stream: true })).split(/[\r\n\u0000]/);
      rest = (parts.pop() ?? "").slice(0, LONGEST);
      for (const line of parts) tell(line.slice(0, LONGEST));
      if (rest !== "") silence = setTimeout(end, SILENCE_MS);
    },
    end,
  };
}
