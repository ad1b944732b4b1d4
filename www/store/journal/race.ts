/** The ewe who stands there: what is written on her card, the pen that is told, and entering it. */
import { batch, computed, signal } from "@preact/signals";
import type { Card, Gate, Given, LookedUp, LookReply, Mark, Problem } from "../../engine/types";
import { en } from "../../text/en";
import { say } from "../screen";
import { askRace, canEnter, deviceName, inTurn, now, openJournal, store, undo, view } from "./journal";
import { EMPTY, isWrittenOn, nameOf } from "./card";
import { dropCard, keepCard } from "./keeping";
import { askOut } from "./leave";
import { decided } from "./decided";
import { afterDrawing, drawWith } from "./draw";
import { ask, asks } from "./question";
import { tell } from "./signal";

/** The card. */
export const card = signal<Card>(EMPTY);

/** What is known of her. */
export const looked = signal<{ look: LookReply; onRecord: string; stands: string | null } | null>(null);

/** The pen that is told; nothing before anything is known. */
export const gate = signal<Gate | null>(null);

/** The last ewe entered, until the next stands there. */
export const given = signal<Given | null>(null);

/** Why the last act was refused. */
export const refused = signal<Problem[]>([]);

/** Whether a card of an earlier visit came back unfinished. */
export const cameBack = signal("");

/** The last note, to be taken again. */
export const lastNote = signal("");

/** The part of the room on screen. */
export const part = signal<"gate" | "acts" | "more">("gate");

/** Whether anything is written of a ewe. */
export const isWritten = computed(() => isWrittenOn(card.value));

let sure = false;
let entering = false;
/** Whether anything was tapped for her, which another read must not sweep away. */
let touched = false;

/** Opens the race; a card that was left unfinished comes back and is said. */
export async function openRace(): Promise<void> {
  const left = await openJournal();
  if (!left) return;
  batch(() => {
    card.value = { ...EMPTY, ...left };
    touched = isWritten.value;
    if (isWritten.value) cameBack.value = en.race.cameBack(nameOf(card.value) || en.race.unnamed);
  });
  if (card.value.read) await lookAgain(card.value.read);
  await reckon();
}

/** The tag, or the score, as far as it is keyed. */
export const typed = signal("");

/** Somebody stands there: a tag was read, or written. It waits until the ewe before is stored. */
export async function read(text: string): Promise<void> {
  await decided();
  await inTurn(() => readNow(text));
}

async function readNow(text: string): Promise<void> {
  if (!canEnter.value || text.trim() === "") return;
  const found = await askRace({ ask: "race look", request: { read: text, day: today() } });
  if (found.look.known === "unreadable") {
    refused.value = found.look.problems;
    tell("asked");
    say(found.look.words);
    return;
  }
  // Readers send a tag twice now and then: the ewe who stands there already is no news.
  if (nameOf(found.card) === nameOf(card.value)) return;
  if (touched && card.value.name !== null) {
    const who = looked.value?.look.ewe?.called ?? nameOf(card.value);
    ask([en.race.notEntered(who)], en.race.enterFirst, en.race.leaveHer, (is) => {
      const next = () =>
        inTurn(() => {
          meet(found);
          return Promise.resolve();
        });
      if (!is) void next();
      else void enter().then(() => (given.value ? next() : undefined));
    });
    return;
  }
  meet(found);
}

function meet(found: LookedUp): void {
  const question = found.look.question;
  if (question === null) {
    stand(found);
    return;
  }
  ask([question], en.race.correction, en.race.another, (is) => {
    if (!is) return;
    stand(found);
    sure = true;
  });
}

/** She stands there. What was tapped before she was read is hers; age and group stay as they were for the last. */
function stand(found: LookedUp): void {
  const before = card.value;
  const own = before.name === null;
  batch(() => {
    refused.value = found.look.problems;
    given.value = null;
    cameBack.value = "";
    typed.value = "";
    looked.value = lookedAs(found);
    // A question about the ewe before is over.
    asks.value = null;
    card.value = {
      ...found.card,
      lambs: own && before.lambs !== null ? before.lambs : found.card.lambs,
      score: own ? before.score : null,
      marks: own ? [...new Set([...before.marks, ...found.card.marks])] : found.card.marks,
      note: own ? before.note : "",
      age: found.card.age ?? before.age,
      group: found.card.group ?? before.group,
      pen: null,
    };
  });
  sure = false;
  if (!own) touched = false;
  say(found.look.words);
  void changed();
}

const lookedAs = ({ look, on_record, stands }: LookedUp) => ({ look, onRecord: on_record, stands });

/** She has no tag that can be read: she gets the next running number. */
export async function takeNumber(): Promise<void> {
  await read(await askRace({ ask: "race number" }));
}

/** Changes what is written. A tap is kept at once, so that nothing of it is lost; of a note not every letter. */
export function write(to: Partial<Card>): void {
  // The ewe before is being stored; a tap in that instant was hers or nobody's.
  if (entering) return;
  touched = true;
  const next = { ...card.value, ...to };
  // Asked before anything is drawn, and drawn with the answer.
  const told = reckon(next);
  drawWith(told);
  batch(() => {
    card.value = next;
    given.value = null;
    refused.value = [];
  });
  void changed("note" in to, told);
}

/** Sets or lifts a mark. */
export function mark(of: Mark): void {
  const marks = card.value.marks;
  write({ marks: marks.includes(of) ? marks.filter((other) => other !== of) : [...marks, of] });
}

/** Empties the card; age and group stay. */
export function wipe(): void {
  const { age, group } = card.value;
  batch(() => {
    card.value = { ...EMPTY, age, group };
    looked.value = null;
    gate.value = null;
    refused.value = [];
    asks.value = null;
    cameBack.value = "";
    typed.value = "";
  });
  [sure, touched] = [false, false];
  void changed();
}

async function changed(isTyping = false, told = reckon()): Promise<void> {
  if (!isTyping) {
    keep();
    return;
  }
  await told;
  afterDrawing(keep);
}

const keep = () => void keepCard(() => card.value);

let asked = 0;
export async function reckon(of: Card = card.value): Promise<void> {
  const mine = ++asked;
  if (!isWrittenOn(of)) {
    gate.value = null;
    return;
  }
  const told = await askRace({ ask: "race answer", card: of });
  if (mine === asked && given.value === null) gate.value = told;
}

async function lookAgain(text: string): Promise<void> {
  const found = await askRace({ ask: "race look", request: { read: text, day: today() } });
  if (found.look.known !== "unreadable") looked.value = lookedAs(found);
}

const today = () => {
  const at = new Date();
  const two = (figure: number) => String(figure).padStart(2, "0");
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
};

/** Enters the card; with a pen, against what was told. "Saved" is shown once it is stored, and not before. */
export async function enter(pen: string | null = null): Promise<void> {
  if (!canEnter.value || entering || asks.value !== null) return;
  entering = true;
  dropCard();
  try {
    await inTurn(() => enterNow(pen));
  } finally {
    entering = false;
  }
}

async function enterNow(pen: string | null): Promise<void> {
  const sent: Card = { ...card.value, pen };
  const request = { device: deviceName(), now: now(), card: sent, sure };
  const got = await askRace({ ask: "race enter", request });
  const { reply } = got;
  if (reply.kind !== "appended") keep();
  if (reply.kind === "refused") {
    refused.value = reply.problems;
    tell("asked");
    return;
  }
  if (reply.kind === "asked") {
    const words = reply.questions.map(({ message, hint }) => `${message} ${hint}`);
    ask(words, en.race.enterSo, en.race.change, (is) => {
      sure = is;
      if (is) void enter(pen);
    });
    return;
  }
  const { age, group, note } = sent;
  // Age and group stay for the next ewe, also where the page is opened anew before she comes.
  const next: Card = { ...EMPTY, age, group };
  if (!(await store(reply.lines, { card: next }))) {
    tell("asked");
    return;
  }
  batch(() => {
    given.value = got;
    view.value = got.view;
    gate.value = null;
    looked.value = null;
    refused.value = [];
    cameBack.value = "";
    if (note.trim() !== "") lastNote.value = note.trim();
    card.value = next;
  });
  [sure, touched] = [false, false];
  typed.value = "";
  say(got.words);
  askOut(got, sent.name, (words) => {
    if (given.value === got) given.value = { ...got, words };
  });
  afterDrawing(() => {
    tell("saved");
    void askRace({ ask: "race catch up" });
  });
}

/** Asks for all that stands beside the gate, which is left out from ewe to ewe. */
export async function lookBeside(to: "acts" | "more"): Promise<void> {
  part.value = to;
  view.value = await askRace({ ask: "race view", device: deviceName(), now: now() });
}

/** Takes the last act that stands back. */
export async function undoLast(): Promise<void> {
  const last = view.value?.last_act;
  if (last) await undoAct(last.act);
}

/** Undoes an act of the list, or brings it back. */
export async function undoAct(act: string): Promise<void> {
  const reply = await undo(act);
  if (reply?.kind === "refused") refused.value = reply.problems;
  if (reply?.kind === "appended") {
    given.value = null;
    say(en.race.undone);
  }
  await reckon();
  afterDrawing(() => void askRace({ ask: "race catch up" }));
}
