/** Ewes who leave their pens, races of an earlier year, and a card that is kept with the tap. */
import { expect, test, type Page } from "./support.ts";
import {
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

/** How many stand in pens by the strip of pens. */
async function heads(page: Page): Promise<number> {
  const words = await page.locator(".race-pens li span").allTextContents();
  return words
    .map((text) => Number(/^(\d+) in/.exec(text)?.[1] ?? 0))
    .reduce((sum, head) => sum + head, 0);
}

/** Reads a ewe who was read today already, and says that it is her. */
async function again(page: Page, tag: string): Promise<void> {
  await wedge(page, tag);
  await page.getByRole("button", { name: "It is her: correct it" }).click();
  await expect(page.locator(".race-name")).toContainText(tag);
}

test("a ewe put right to barren: the page proposes to take her out, and one tap does", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  await enterEwe(page, eid(1), 2, 3);
  await enterEwe(page, eid(2), 2, 3);
  expect(await heads(page)).toBe(2);
  await again(page, eid(1));
  await lambs(page, 0);
  await expect(page.locator(".race-pen")).toContainText(
    /On record she is in pen \w+: take her out of it/,
  );
  await go(page);
  const question = page.locator(".race-ask");
  await expect(question).toContainText(`${eid(1)} is entered; on record`);
  await question.getByRole("button", { name: /^Take her out of pen/ }).click();
  await expect(page.locator(".race-pen.done")).toContainText("left pen");
  await expect.poll(() => heads(page)).toBe(1);
  const last = (await lines(page)).at(-1)?.what;
  expect([last?.kind, last?.ewe?.eid]).toEqual(["pen_left", eid(1)]);
  // It is an act like any other.
  await page.locator("button.undo").click();
  await expect.poll(() => heads(page)).toBe(2);
});

test("left as she is, the question is over with the next ewe", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  await enterEwe(page, eid(1), 2, 3);
  await again(page, eid(1));
  await lambs(page, 0);
  await go(page);
  await expect(page.locator(".race-ask")).toBeVisible();
  await enterEwe(page, eid(2), 2, 3);
  await expect(page.locator(".race-ask")).toHaveCount(0);
  expect(await heads(page)).toBe(2);
});

test("whoever died or was sold is taken out by a tap beside her name", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  await enterEwe(page, eid(1), 2, 3);
  await wedge(page, eid(9));
  await expect(page.locator(".race-name")).toContainText(eid(9));
  const out = page.getByRole("button", { name: /^Take her out of pen/ });
  await expect(out).toHaveCount(0);
  await again(page, eid(1));
  await out.click();
  await expect.poll(() => heads(page)).toBe(0);
  await expect(out).toHaveCount(0);
  await page.reload();
  await expect(page.locator(".race-gate")).toBeVisible({ timeout: 30_000 });
  expect(await heads(page)).toBe(0);
});

test("after the race: one is taken out, a whole pen is, and both come back", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  for (let at = 0; at < 6; at++) await enterEwe(page, eid(20 + at), 2, 3);
  await toMore(page);
  await page.getByText("Who stands where").click();
  const rows = page.locator(".race-sheet-ewes li");
  await expect(rows).toHaveCount(6);
  await rows.first().getByRole("button").click();
  await expect(rows).toHaveCount(5);
  await expect(page.locator(".race-page").getByText("left pen")).toBeVisible();
  const pen = page.locator(".race-sheet").first();
  const there = await pen.locator("li").count();
  await pen.getByRole("button", { name: /^All out of pen/ }).click();
  await expect(rows).toHaveCount(5 - there);
  await page
    .locator(".race-page")
    .getByRole("button", { name: "Undo", exact: true })
    .click();
  await expect(rows).toHaveCount(5);
  await page.getByRole("button", { name: "Back to the gate" }).click();
  expect(await heads(page)).toBe(5);
});

test("a year later the pens are empty, and her last scan is said to be of an earlier season", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  for (let at = 0; at < 3; at++) await enterEwe(page, eid(30 + at), 3, 3);
  // A number that was said for this race alone.
  await toMore(page);
  await page.getByLabel("Ewes in lamb to come").fill("77");
  await page.getByLabel("Ewes in lamb to come").press("Tab");
  await page.getByRole("button", { name: "Back to the gate" }).click();
  await expect.poll(() => heads(page)).toBe(3);
  await page.clock.setFixedTime(Date.now() + 365 * 86_400_000);
  await page.reload();
  await expect(page.locator(".race-gate")).toBeVisible({ timeout: 30_000 });
  expect(await heads(page)).toBe(0);
  await expect(page.locator(".race-pen")).toContainText(
    "3 ewes in lamb expected, as many as were here in the last season",
  );
  await wedge(page, eid(30));
  await expect(page.locator(".race-name")).toContainText(
    /Her scan of \d+ \w+ \d+, triplets, is of an earlier season/,
  );
  await expect(page.locator(".race-lambs [aria-pressed=true]")).toHaveCount(0);
  await lambs(page, 3);
  await condition(page, 3);
  await go(page);
  await expect(page.locator(".race-pen.done")).toContainText(eid(30));
  expect(await heads(page)).toBe(1);
  // Nor does the page show what was said for the race before.
  await toMore(page);
  await expect(page.getByLabel("Ewes in lamb to come")).toHaveValue("");
});

test("a tap is in the store before anything is drawn", async ({ page }) => {
  await openRace(page);
  await beginWithPens(page);
  await wedge(page, eid(40));
  await expect(page.locator(".race-name")).toContainText(eid(40));
  // Nothing is drawn from now on, as where the page is swept away with the tap.
  const kept = await page.evaluate(async () => {
    window.requestAnimationFrame = () => 0;
    const taps = [
      [".race-lambs button", 2],
      [".race-condition button", 4],
    ] as const;
    for (const [of, at] of taps)
      document.querySelectorAll<HTMLElement>(of)[at]?.click();
    await new Promise((resolve) => setTimeout(resolve, 60));
    return new Promise((resolve) => {
      const request = indexedDB.open("evenfold-journal");
      request.onsuccess = () => {
        const all = request.result.transaction("aside").objectStore("aside");
        const card = all.get("card");
        card.onsuccess = () => {
          request.result.close();
          resolve(card.result);
        };
      };
    });
  });
  expect(kept).toMatchObject({ lambs: 2, score: 3, name: { eid: eid(40) } });
});
