/** Backup and restore, other flocks, other tablets, wrong clocks. */
import { expect, PAGE } from "./support.ts";
import {
  throwFirstCopyAway,
  backup,
  beginBare,
  beginWithPens,
  condition,
  eid,
  enterEwe,
  go,
  harsh as test,
  lambs,
  lines,
  openRace,
  stored,
  toMore,
  wedge,
} from "./race-support.ts";

test("a backup on a clean device is the same journal byte for byte; the same file twice changes nothing", async ({
  page,
  browser,
}) => {
  await openRace(page);
  await beginWithPens(page, true);
  for (let at = 0; at < 6; at++)
    await enterEwe(page, eid(at + 1), [1, 2, 3][at % 3] ?? 2, 3);
  await page.getByRole("button", { name: /^Undo: / }).click();
  await expect(page.locator(".race-run")).toContainText("5 ewes today");
  await toMore(page);
  await expect(page.getByText("Never backed up.")).toBeVisible();
  const file = await backup(page);
  await expect(
    page.getByText(/^Backed up just now, nothing entered since/),
  ).toBeVisible();
  const count = (await stored(page)).length;
  expect(file.trim().split("\n").length).toBe(count + 1);

  const context = await browser.newContext({ acceptDownloads: true });
  const clean = await context.newPage();
  await openRace(clean);
  await expect(clean.getByText("Nothing is stored here yet")).toBeVisible();
  const give = () =>
    clean.locator("[data-race=backup]").setInputFiles({
      name: "b.jsonl",
      mimeType: "text/plain",
      buffer: Buffer.from(file),
    });
  await give();
  await expect(clean.locator(".race-run")).toContainText("5 ewes today");
  if (await clean.locator(".race-gate").isVisible()) await toMore(clean);
  expect(await backup(clean)).toBe(file);
  expect((await stored(clean)).length).toBe(count);
  await give();
  await expect(clean.getByText(/0 .*new/)).toBeVisible();
  expect((await stored(clean)).length).toBe(count);
  expect(await backup(clean)).toBe(file);
  // The screens are those of the first device too.
  await clean.getByRole("button", { name: "Back to the gate" }).click();
  await page.getByRole("button", { name: "Back to the gate" }).click();
  expect(await clean.locator(".race-pens").innerText()).toBe(
    await page.locator(".race-pens").innerText(),
  );
  await clean.reload();
  await expect(clean.locator(".race-gate")).toBeVisible({ timeout: 30_000 });
  expect(await clean.locator(".race-pens").innerText()).toBe(
    await page.locator(".race-pens").innerText(),
  );
  await context.close();
});

test("another flock's file is asked about before anything is taken", async ({
  page,
  browser,
}) => {
  await openRace(page);
  await beginBare(page, "Hill");
  await enterEwe(page, "TAG0001", 2, 3);
  await toMore(page);
  const file = await backup(page);
  const context = await browser.newContext({ acceptDownloads: true });
  const other = await context.newPage();
  await openRace(other);
  await beginBare(other, "Valley");
  await toMore(other);
  await other.locator("[data-race=backup]").setInputFiles({
    name: "b.jsonl",
    mimeType: "text/plain",
    buffer: Buffer.from(file),
  });
  await expect(other.getByRole("alert")).toContainText("Hill");
  expect((await stored(other)).length).toBe(1);
  await other.getByRole("button", { name: "Leave it" }).click();
  expect((await stored(other)).length).toBe(1);
  await context.close();
});

test("two tablets' entries come together, each kept", async ({
  page,
  browser,
}) => {
  await openRace(page);
  await beginBare(page);
  await enterEwe(page, "TAG0001", 2, 3);
  const context = await browser.newContext({ acceptDownloads: true });
  const second = await context.newPage();
  await openRace(second);
  await beginBare(second);
  await enterEwe(second, "TAG0002", 1, 3);
  await toMore(second);
  const file = await backup(second);
  await toMore(page);
  await page.locator("[data-race=backup]").setInputFiles({
    name: "b.jsonl",
    mimeType: "text/plain",
    buffer: Buffer.from(file),
  });
  await expect(page.locator(".race-run")).toContainText("2 ewes today");
  const devices = new Set((await lines(page)).map(({ device }) => device));
  expect(devices.size).toBe(2);
  await context.close();
});

test("a clock that was set back a day is asked about, and loses and reorders nothing", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  await enterEwe(page, "TAG0001", 2, 3);
  await page.evaluate(() => {
    const real = Date.now;
    Date.now = () => real() - 86_400_000;
  });
  await wedge(page, "TAG0002");
  await lambs(page, 2);
  await condition(page, 3);
  await go(page);
  await expect(page.locator(".race-ask")).toContainText(
    "its last entry was on",
  );
  await page.locator(".race-ask").getByRole("button").first().click();
  await expect(page.locator(".race-pen.done")).toContainText("TAG0002");
  const events = (await stored(page)).map(
    (line) =>
      JSON.parse(String(line)) as { at: [number, number]; sequence: number },
  );
  const order = [...events].sort(
    (one, other) => one.at[0] - other.at[0] || one.at[1] - other.at[1],
  );
  expect(order.map(({ sequence }) => sequence)).toEqual(
    events.map(({ sequence }) => sequence),
  );
});

test("the reminder comes by days and goes with a backup", async ({ page }) => {
  await openRace(page);
  await beginBare(page);
  await enterEwe(page, "TAG0001", 2, 3);
  await toMore(page);
  await backup(page);
  await page.getByRole("button", { name: "Back to the gate" }).click();
  await enterEwe(page, "TAG0002", 2, 3);
  await page.addInitScript(() => {
    const real = Date.now;
    Date.now = () => real() + 3 * 86_400_000;
  });
  await page.reload();
  await expect(page.locator(".race-gate")).toBeVisible({ timeout: 30_000 });
  await toMore(page);
  await expect(page.locator(".race-remind")).toContainText(
    "Backed up 3 days ago",
  );
  await backup(page);
  await expect(page.locator(".race-remind")).toHaveCount(0);
});

test("a store that the browser threw away is filled again from the second copy, and said", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  await enterEwe(page, "TAG0001", 2, 3);
  await enterEwe(page, "TAG0002", 1, 3);
  const before = await stored(page);
  await page.goto("about:blank");
  await page.goto(PAGE);
  await throwFirstCopyAway(page);
  await openRace(page);
  await expect(page.getByText("The browser had lost its store")).toBeVisible();
  await expect(page.locator(".race-run")).toContainText("2 ewes today");
  expect(await stored(page)).toEqual(before);
});
