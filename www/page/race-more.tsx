/** Beside the gate: lists to bring in, the backup, and what comes afterwards. */
import { useRef, useState } from "preact/hooks";
import { Dates } from "../part/dates";
import { Cable } from "../part/race/cable";
import { Coming } from "../part/race/coming";
import { Day } from "../part/race/day";
import { Keep } from "../part/race/keep";
import { Sheets } from "../part/race/sheets";
import type { DateQuestion, ListOf, Problem } from "../engine/types";
import type { Lists } from "../engine/race";
import { KINDS } from "../store/files";
import { canInstall } from "../store/site";
import { demoLists, divide, handToMoves, handToSort, printStands } from "../store/journal/afterwards";
import { canEnter, change, settings, view } from "../store/journal/journal";
import { bring } from "../store/journal/lists";
import { part } from "../store/journal/race";
import { en } from "../text/en";

type Slot = "flock" | "pens" | "groups";
const SLOTS: readonly Slot[] = ["flock", "pens", "groups"];

/** All of it; `first` where nothing is stored yet. */
export function More({ first }: { first: boolean }) {
  return (
    <div class="race-page">
      {first && (
        <section class="race-first">
          <h2>{en.race.start.title}</h2>
          <p>{en.race.start.none}</p>
          {canInstall() && <p>{en.race.start.install}</p>}
        </section>
      )}
      <Bring first={first} />
      {!first && <Coming />}
      <Cable />
      <Keep />
      {!first && <After />}
    </div>
  );
}

function Bring({ first }: { first: boolean }) {
  const [name, setName] = useState("");
  const named = useRef<HTMLInputElement>(null);
  const [files, setFiles] = useState<Partial<Record<Slot, File>>>({});
  const [said, setSaid] = useState<{ words: string; problems: Problem[] } | null>(null);
  const [year, setYear] = useState<ListOf | undefined>(undefined);
  const known = settings.value;
  const [asked, setAsked] = useState<{ question: DateQuestion; lists: Lists; called: string } | null>(null);
  /** Whether they are in, and nothing is left to be asked. */
  const take = async (lists: Lists, called: string): Promise<boolean> => {
    const brought = await bring(lists, called);
    if (!brought) return false;
    const { question, problems } = brought;
    setAsked(question && { question, lists, called });
    const nothing = brought.reply === null && !question ? [en.race.lists.nothingNew] : [];
    setSaid({ words: [brought.words, ...nothing].join(" "), problems });
    if (!question) setFiles({});
    return !question;
  };
  const bytes = async (slot: Slot) => {
    const file = files[slot];
    return file ? new Uint8Array(await file.arrayBuffer()) : null;
  };
  const own = async (event: Event) => {
    event.preventDefault();
    if (first && name.trim() === "") {
      setSaid({ words: en.race.lists.needName, problems: [] });
      named.current?.focus();
      return;
    }
    const [flock, pens, groups] = await Promise.all([bytes("flock"), bytes("pens"), bytes("groups")]);
    const isIn = await take({ flock, pens, groups, ...(year && { listOf: year }) }, name);
    if (first && isIn) part.value = "gate";
  };
  return (
    <section>
      <h2>{en.race.lists.title}</h2>
      <form class="race-lists" onSubmit={(event) => void own(event)}>
        <label>
          {en.race.lists.name}
          <input
            ref={named}
            type="text"
            autocomplete="off"
            value={name || (view.value?.flock ?? "")}
            onInput={(event) => setName(event.currentTarget.value)}
          />
        </label>
        <div class="race-slots">
          {SLOTS.map((slot) => (
            <label key={slot} class="button plain">
              {files[slot]?.name ?? en.race.lists[slot]}
              <input
                type="file"
                accept={KINDS}
                data-race={slot}
                onChange={(event) => {
                  const file = event.currentTarget.files?.[0];
                  if (file) setFiles((before) => ({ ...before, [slot]: file }));
                }}
              />
            </label>
          ))}
        </div>
        {files.flock && (
          <fieldset class="race-ways">
            <legend>{en.race.lists.ofYear}</legend>
            {([undefined, "this_year", "earlier_year"] as const).map((of) => (
              <button key={of} type="button" aria-pressed={year === of} onClick={() => setYear(of)}>
                {en.race.lists.year[of ?? "dates"]}
              </button>
            ))}
          </fieldset>
        )}
        {known && (
          <div class="race-days">
            <Day words={en.race.when.on} value={known.on} change={(on) => void change({ on })} />
            <Day
              words={en.race.when.due}
              value={known.first_due}
              change={(day) => void change({ first_due: day })}
            />
          </div>
        )}
        <div class="race-acts-row">
          <button type="submit" class="main" disabled={!canEnter.value}>
            {first && Object.keys(files).length === 0 ? en.race.start.begin : en.race.lists.bring}
          </button>
          {first && (
            <button
              type="button"
              class="plain"
              disabled={!canEnter.value}
              onClick={() => void demoLists().then((demo) => demo && take(demo.lists, demo.name))}
            >
              {en.race.lists.demo}
            </button>
          )}
        </div>
      </form>
      {asked && (
        <Dates
          question={asked.question}
          busy={!canEnter.value}
          choose={(dates) => void take({ ...asked.lists, dates }, asked.called)}
        />
      )}
      {said && (
        <div role="status">
          <p>{said.words}</p>
          <ul class="race-faults">
            {said.problems.map((problem) => (
              <li key={`${problem.code}${problem.row ?? ""}${problem.column ?? ""}`}>
                <b>{problem.row === undefined ? problem.subject : en.race.lists.row(problem.row)}</b>{" "}
                {problem.message} {problem.hint}
              </li>
            ))}
          </ul>
        </div>
      )}
    </section>
  );
}

function After() {
  const shown = view.value;
  const [said, setSaid] = useState("");
  if (!shown) return null;
  return (
    <section>
      <h2>{en.race.after.title}</h2>
      <p>{shown.tally.map(({ what, ewes }) => `${ewes} ${what}`).join(", ")}</p>
      <div class="race-acts-row">
        <button
          type="button"
          class="main"
          disabled={shown.pens.length === 0}
          onClick={() => void handToSort()}
        >
          {en.race.after.sort}
        </button>
        <button
          type="button"
          class="plain"
          disabled={shown.pens.length === 0}
          onClick={() => void handToMoves()}
        >
          {en.race.after.moves}
        </button>
        {shown.ways.length > 0 && (
          <button
            type="button"
            class="plain"
            disabled={!canEnter.value}
            onClick={() => void divide().then((words) => setSaid(words))}
          >
            {en.race.after.divide}
          </button>
        )}
        <button
          type="button"
          class="plain"
          disabled={shown.pens.length === 0}
          onClick={() => void printStands()}
        >
          {en.race.after.print}
        </button>
        {shown.pens.length === 0 && <p>{en.race.after.noPens}</p>}
      </div>
      <p role="status">{said}</p>
      {shown.pens.length > 0 && <Sheets />}
      {shown.unseen.length > 0 && (
        <details>
          <summary>
            {en.race.after.unseen}: {shown.unseen_words}
          </summary>
          <ul class="race-unseen">
            {shown.unseen.map((called) => (
              <li key={called}>{called}</li>
            ))}
          </ul>
        </details>
      )}
      {shown.doubts.length > 0 && (
        <details>
          <summary>
            {en.race.after.doubts} ({shown.doubts.length})
          </summary>
          <ul class="race-faults">
            {shown.doubts.map((problem, at) => (
              <li key={at}>
                <b>{problem.subject}</b> {problem.message} {problem.hint}
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}
