/**
 * The whole scanning day on two tablets in real Chromium: touches, a tag reader, misreads, tags sent twice, undo,
 * corrections, a reload, a kill of the browser in mid-ewe. At the end every ewe's record is compared with what the
 * test meant, read from the bare lines by the test's own rules and from what the command line makes of them.
 *
 * `EVENFOLD_EWES` sets how many ewes the first tablet enters, and has the times by number of ewes printed; the full day
 * is `npm run test:day`.
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { command, expect, list, written } from "./support.ts";
import { Chance, entries, pensFor, told, type Meant } from "./race-model.ts";
import { eid, harsh as test, stored } from "./race-support.ts";
import { Tablet, type Taps } from "./race-tablet.ts";

const EWES = Number(process.env.EVENFOLD_EWES ?? 60);
/** Those that the second tablet enters. */
const SECOND = Math.ceil(EWES / 10);

/** One in ten barren, then as a lowland flock scans, roughly; scores in halves and quarters. */
function taps(chance: Chance, at: number): Taps {
  const lambs = chance.among([0, 1, 1, 2, 2, 2, 2, 3, 3, 4]);
  const score = 1.5 + chance.of(10) / 4;
  const marks =
    at % 50 === 20 ? ["keep_apart"] : at % 9 === 4 ? ["lame"] : ["udder"];
  return {
    lambs,
    score,
    ...(at % 9 === 4 || at % 17 === 9 || at % 50 === 20 ? { marks } : {}),
    ...(at % 23 === 6 ? { note: `note ${at}` } : {}),
    elsewhere: at % 19 === 8,
  };
}

/** What the command line makes of a file. */
interface State {
  ewes: {
    eid: string;
    scanned: { lambs: number } | null;
    condition: { score: number } | null;
    age: { age: string } | null;
    pen: { pen: string } | null;
    marks: { mark: string }[];
    notes: { words: string }[];
  }[];
  conflicts: { ewe: string }[];
}

const asMeant = ({ ewes }: State) =>
  new Map<string, Meant>(
    ewes.map((ewe) => [
      ewe.eid,
      {
        lambs: ewe.scanned?.lambs ?? NaN,
        score: ewe.condition?.score ?? NaN,
        age: ewe.age?.age ?? "",
        pen: ewe.pen?.pen ?? null,
        marks: ewe.marks.map(({ mark }) => mark),
        notes: ewe.notes.map(({ words }) => words),
      },
    ]),
  );

const inOrder = (ewes: ReadonlyMap<string, Meant>) =>
  [...ewes]
    .map(([tag, ewe]) => ({ tag, ...ewe, marks: [...ewe.marks].sort() }))
    .sort((one, other) => (one.tag < other.tag ? -1 : 1));

test(`a scanning day of ${EWES} ewes by touch and reader: every record is right at the end`, async () => {
  test.setTimeout(120_000 + EWES * 4_000);
  const folder = mkdtempSync(join(tmpdir(), "evenfold-day-"));
  const first = await Tablet.start(join(folder, "first"));
  const { meant, chance } = first;
  await first.page.getByLabel("The flock's name").fill("Invented");
  await first.page
    .locator("[data-race=pens]")
    .setInputFiles(list("pens.csv", pensFor(EWES + SECOND)));
  await first.press("Bring them in");
  await expect(first.page.locator(".race-gate")).toBeVisible({
    timeout: 20_000,
  });
  const second = await Tablet.start(join(folder, "second"));
  await second.take(await first.backup());
  await expect(second.page.locator(".race-gate")).toBeVisible();
  await first.chooseAge("Mature", "mature");
  await second.chooseAge("Shearling", "shearling");

  const rows: string[] = [];
  for (let at = 0; at < EWES; at++) {
    const { page } = first;
    const tag = eid(at);
    const her = taps(chance, at);
    if (at % 11 === 5) {
      await first.read(tag.slice(0, 13));
      await expect(page.getByRole("alert")).toBeVisible();
    }
    if (at === Math.floor(EWES / 5)) {
      await first.reload();
      await expect(
        page.getByText(`Resumed: ${meant.size} ewes, the last`),
      ).toBeVisible();
    }
    if (at === Math.floor(EWES / 2))
      await first.chooseAge("Shearling", "shearling");
    if (at === Math.floor((2 * EWES) / 5)) {
      // Killed while she stands there; what was tapped for her is there again.
      await first.read(tag);
      await first.write(her);
      await settled(first, tag);
      await first.kill();
      await expect(
        first.page.getByText(`Not entered yet when you left: ${tag}`),
      ).toBeVisible();
      await first.go(tag, her);
    } else {
      if (at % 17 === 3) await first.read(tag);
      await first.enter(tag, her);
    }
    if (at % 13 === 7) {
      // Entered wrongly: back, and again.
      await first.press(/^Undo: /);
      await expect(first.page.locator(".race-pen.done")).toHaveCount(0);
      meant.delete(tag);
      await first.enter(tag, { ...her, score: 4 });
    }
    if (at % 29 === 12) await correct(first, eid(at - 5));
    if (at % 97 === 40) await backAndForth(first, tag);
    if (at % 50 === 49 || at === EWES - 1) {
      await first.gather();
      rows.push(row(first, at + 1));
    }
    if (at % 10 === 9) {
      const other = taps(second.chance, at);
      await second.enter(eid(5000 + at), other);
    }
  }
  // Both tablets score one ewe, and neither knows of the other.
  const both = eid(9999);
  await first.enter(both, { lambs: 2, score: 3 });
  await second.enter(both, { lambs: 2, score: 2.5 });
  await expect(second.page.locator(".race-run")).toContainText(
    `${second.meant.size} ewes today`,
  );
  const others = await second.backup();
  await second.press("Lists and backup");
  await first.press("Lists and backup");
  await first.take(others);
  await expect(first.page.locator(".race-run")).toContainText(
    `${meant.size + second.meant.size - 1} ewes today`,
  );
  await first.press("Back to the gate");

  const want = new Map([...second.meant, ...meant]);
  const [one, two] = [meant.get(both), second.meant.get(both)];
  if (!one || !two) throw new Error("she was entered on both");
  want.set(both, { ...one, score: 2.5, pen: "either" });
  const file = await first.backup();
  const either = (ewes: Map<string, Meant>) => {
    const ewe = ewes.get(both);
    expect([one.pen, two.pen]).toContain(ewe?.pen);
    return ewe ? ewes.set(both, { ...ewe, pen: "either" }) : ewes;
  };
  expect(inOrder(either(told(file))), "the lines").toEqual(inOrder(want));
  const state = command("journal", "state", written("day.jsonl", file));
  expect(
    inOrder(either(asMeant(state as State))),
    "what they add up to",
  ).toEqual(inOrder(want));
  expect((state as State).conflicts.map(({ ewe }) => ewe)).toContain(both);
  expect((await stored(first.page)).length).toBe(entries(file).length);
  for (const device of new Set(entries(file).map((entry) => entry.device)))
    expect(
      entries(file)
        .filter((entry) => entry.device === device)
        .map(({ sequence }) => sequence),
      "none of a device's entries is skipped or doubled",
    ).toEqual(
      entries(file)
        .filter((entry) => entry.device === device)
        .map((_, at) => at + 1),
    );

  await first.kill();
  expect(await first.backup(), "after one more kill").toBe(file);
  if (process.env.EVENFOLD_EWES)
    process.stdout.write(`${[HEAD, ...rows].join("\n")}\n`);
  await Promise.all([first.end(), second.end()]);
  rmSync(folder, { recursive: true, force: true });
});

/** Waits until the card as it stands is kept, which the kill is to come after. */
async function settled(tablet: Tablet, tag: string): Promise<void> {
  await expect(tablet.page.locator(".race-name")).toContainText(tag);
  await tablet.page.waitForTimeout(300);
}

/** A ewe of before is read again and her score put right. */
async function correct(tablet: Tablet, tag: string): Promise<void> {
  const { page, meant } = tablet;
  const before = meant.get(tag);
  if (!before) throw new Error(`${tag} was not entered`);
  await tablet.read(tag);
  await tablet.press("It is her: correct it");
  await expect(page.locator(".race-name")).toContainText(tag);
  await tablet.write({ lambs: before.lambs, score: 2 });
  await tablet.go(tag, { lambs: before.lambs, score: 2 });
}

/** The last ewe's act undone and brought back from the list of acts. */
async function backAndForth(tablet: Tablet, tag: string): Promise<void> {
  await tablet.press("Last acts");
  const act = tablet.page.locator(".race-acts li", { hasText: tag }).first();
  await act.getByRole("button", { name: /^Undo: / }).click();
  await act.getByRole("button", { name: /^Bring back: / }).click();
  await expect(act.getByRole("button", { name: /^Undo: / })).toBeVisible();
  await tablet.press("Back to the gate");
}

const HEAD =
  "ewes   tap to pen, ms: median  slowest   go to saved: median  slowest   page, MB";

function row(tablet: Tablet, ewes: number): string {
  const of = (all: number[]) => {
    const sorted = all.splice(0).sort((one, other) => one - other);
    return [sorted[sorted.length >> 1] ?? NaN, sorted.at(-1) ?? NaN]
      .map((ms) => ms.toFixed(0).padStart(9))
      .join("");
  };
  return `${String(ewes).padStart(4)}${of(tablet.times.pen).padStart(35)}${of(tablet.times.saved).padStart(31)}${tablet.memory().toFixed(0).padStart(11)}`;
}
