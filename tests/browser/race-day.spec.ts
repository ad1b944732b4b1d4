/** A day at the race: marks and notes, lists first, and what comes afterwards. The whole day is race-whole.spec.ts. */
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
