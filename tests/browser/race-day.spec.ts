/** A day at the race: lists first, a whole session, and what comes afterwards. */
import { expect, list, openStart, test } from "./support.ts";
import {
  backup,
  beginBare,
  beginWithPens,
  condition,
  eid,
  enterEwe,
  go,
  lambs,
  lines,
  openRace,
  toMore,
  wedge,
} from "./race-support.ts";

test("marks, a note, and the same note again", async ({ page }) => {
  await openRace(page);
  await beginWithPens(page);
  await wedge(page, eid(31));
  await page.getByRole("button", { name: "Lame" }).click();
  await page.getByRole("textbox", { name: "Note" }).fill("near hind");
  await lambs(page, 1);
  await condition(page, 3);
  await go(page);
  await expect(page.locator(".race-pen.done")).toBeVisible();
  const kinds = (await lines(page)).map(({ what }) => what.kind);
  expect(kinds).toEqual(expect.arrayContaining(["marked", "noted"]));
  await page.getByRole("button", { name: "Same note" }).click();
  await expect(page.getByRole("textbox", { name: "Note" })).toHaveValue(
    "near hind",
  );
});

test("rows of a list that are wrong are named and the rest is in; one undo takes it back", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  await toMore(page);
  const rows = Array.from({ length: 40 }, (_, at) => `T${at},2,3`);
  await page
    .locator("[data-race=flock]")
    .setInputFiles(
      list(
        "flock.csv",
        ["tag,litter,condition", ...rows, "B1,nine,3"].join("\n"),
      ),
    );
  await page.getByRole("button", { name: "Bring them in" }).click();
  await expect(page.getByText("40 ewes read.")).toBeVisible();
  await expect(page.locator(".race-faults").first()).toContainText("Row 42");
  await expect(page.getByText("40 ewes on record not seen")).toBeVisible();
  await page.getByRole("button", { name: "Back to the gate" }).click();
  await page.getByRole("button", { name: /^Undo: / }).click();
  await toMore(page);
  await expect(page.getByText("40 ewes on record not seen")).toHaveCount(0);
});

test("afterwards the flock that was entered is settled by the sort, in one tap", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page, true);
  await toMore(page);
  await page
    .getByRole("button", { name: "Settle the sort with these ewes" })
    .click();
  await expect(page.locator(".result h1")).toBeVisible({ timeout: 30_000 });
  await expect(page.locator(".pen")).toHaveCount(7);
});

test("sound and vibration confirm, and can be turned off", async ({ page }) => {
  await page.addInitScript(() => {
    const felt: unknown[] = [];
    Object.assign(window, { felt });
    navigator.vibrate = (pattern) => {
      felt.push(pattern);
      return true;
    };
  });
  const felt = () =>
    page.evaluate(() => (window as unknown as { felt: unknown[] }).felt.length);
  await openRace(page);
  await beginBare(page);
  const switchSound = async () => {
    await toMore(page);
    await page.getByRole("button", { name: "Sound" }).click();
    await page.getByRole("button", { name: "Back to the gate" }).click();
  };
  await enterEwe(page, eid(41), 2, 3);
  // It follows the picture.
  await expect.poll(felt).toBe(1);
  await switchSound();
  await enterEwe(page, eid(42), 2, 3);
  await switchSound();
  await enterEwe(page, eid(43), 2, 3);
  await expect.poll(felt).toBeGreaterThan(1);
  expect(await felt(), "none for the ewe in between").toBe(2);
});

test("a scanning session of sixty ewes by reader and touch, with misreads and undo", async ({
  page,
}) => {
  test.setTimeout(240_000);
  await openRace(page);
  await beginWithPens(page);
  const ewes = Number(process.env.EVENFOLD_EWES ?? 60);
  const meant = new Map<string, [number, number]>();
  for (let at = 0; at < ewes; at++) {
    const [carries, score] = [
      [2, 1, 3, 2, 0][at % 5] ?? 2,
      [3, 2.5, 3.5, 2][at % 4] ?? 3,
    ];
    const tag = eid(1000 + at);
    if (at % 11 === 5) {
      await wedge(page, tag.slice(0, 13));
      await expect(page.getByRole("alert")).toBeVisible();
    }
    await enterEwe(page, tag, carries, score);
    meant.set(tag, [carries, score]);
    if (at % 13 === 7) {
      // Entered wrongly: back, and again.
      await page.getByRole("button", { name: /^Undo: / }).click();
      await expect(page.locator(".race-pen.done")).toHaveCount(0);
      await enterEwe(page, tag, carries, 4);
      meant.set(tag, [carries, 4]);
    }
    if (at === 30) {
      await page.reload();
      await expect(page.locator(".race-gate")).toBeVisible({ timeout: 30_000 });
      await expect(page.getByText(/^Resumed: 31 ewes, the last/)).toBeVisible();
    }
  }
  await expect(page.locator(".race-run")).toContainText(`${ewes} ewes today`);
  await toMore(page);
  const file = await backup(page);
  const events = file
    .trim()
    .split("\n")
    .slice(1)
    .map(
      (line) =>
        JSON.parse(line) as {
          id: string;
          what: {
            kind: string;
            ewe?: { eid?: string };
            lambs?: number;
            score?: number;
            events?: string[];
          };
        },
    );
  const undone = new Set(events.flatMap(({ what }) => what.events ?? []));
  const got = new Map<string, [number, number]>();
  for (const { id, what } of events) {
    const tag = what.ewe?.eid;
    if (undone.has(id) || tag === undefined) continue;
    const [carries, score] = got.get(tag) ?? [NaN, NaN];
    got.set(tag, [what.lambs ?? carries, what.score ?? score]);
  }
  expect(got).toEqual(meant);
});

test("from the first screen to the race and back", async ({ page }) => {
  await openStart(page);
  await page.getByRole("button", { name: "At the race" }).click();
  await expect(page.locator("main.race")).toBeVisible();
  expect(new URL(page.url()).hash).toBe("#race");
  await page.getByRole("button", { name: "Leave" }).click();
  await expect(page.locator("main.start")).toBeVisible();
});

test("a number field takes no number by wheel or spinner", async ({ page }) => {
  await openRace(page);
  await beginBare(page);
  await expect(page.locator("input[type=number]")).toHaveCount(0);
  await toMore(page);
  await expect(page.locator("input[type=number]")).toHaveCount(0);
});

test("identifiers come out of the backup as they went in", async ({ page }) => {
  await openRace(page);
  await beginBare(page);
  const tags = ["0012", "826072434500099", "A-007"];
  for (const tag of tags) {
    await page.locator("#race-tag").fill(tag);
    await page.keyboard.press("Enter");
    await lambs(page, 2);
    await condition(page, 3);
    await go(page);
    await expect(page.locator(".race-pen.done")).toContainText(tag);
  }
  await toMore(page);
  const file = await backup(page);
  for (const tag of tags) expect(file).toContain(`"${tag}"`);
});
