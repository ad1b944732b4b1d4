/** What the tests of the race share: getting there, the reader that types, what is stored. */
import { readFileSync } from "node:fs";
import { example, expect, PAGE, test as base, type Page } from "./support.ts";

/** Tests in which storage is made to fail: what the console says of it is wanted. */
export const harsh = base.extend<{
  watched: { outside: string[]; faults: string[] };
}>({
  watched: async ({ page }, give) => {
    expect(page).toBeTruthy();
    await give({ outside: [], faults: [] });
  },
});

/** Opens the race. */
export async function openRace(page: Page): Promise<void> {
  await page.goto(`${PAGE}#race`);
  await expect(page.locator("main.race .race-bar")).toBeVisible({
    timeout: 30_000,
  });
  await expect(page.locator(".race-page, .race-gate")).toBeVisible({
    timeout: 30_000,
  });
}

/** Begins with a name alone: no lists, no pens. */
export async function beginBare(page: Page, name = "Home"): Promise<void> {
  await page.getByLabel("The flock's name").fill(name);
  await page.getByRole("button", { name: "Begin without lists" }).click();
  await expect(page.locator(".race-gate")).toBeVisible();
}

/** Begins with the example pens and groups; with the flock list where asked. */
export async function beginWithPens(
  page: Page,
  withFlock = false,
  name = "Home",
): Promise<void> {
  await page.getByLabel("The flock's name").fill(name);
  if (withFlock)
    await page.locator("[data-race=flock]").setInputFiles(example("flock.csv"));
  await page.locator("[data-race=pens]").setInputFiles(example("pens.csv"));
  await page.locator("[data-race=groups]").setInputFiles(example("groups.csv"));
  await page.getByRole("button", { name: "Bring them in" }).click();
  await expect(page.locator(".race-gate")).toBeVisible({ timeout: 20_000 });
  await expect(page.locator(".race-pens li")).toHaveCount(7);
}

/** A tag reader types: a burst of keys and Enter, wherever the focus is. */
export async function wedge(page: Page, text: string): Promise<void> {
  await page.evaluate((sent) => {
    const at = document.activeElement ?? document.body;
    for (const key of [...Array.from(sent), "Enter"])
      at.dispatchEvent(
        new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }),
      );
  }, text);
}

/** A made-up identifier of a country: fifteen digits. */
export const eid = (number: number) =>
  `826${String(724345_00000 + number).padStart(12, "0")}`;

/** Taps lambs. */
export const lambs = (page: Page, count: number) =>
  page.locator(".race-lambs button").nth(count).click();

/** Taps condition. */
export const condition = (page: Page, score: number) =>
  page
    .locator(".race-condition button")
    .nth((score - 1) * 2)
    .click();

/** Taps go. */
export const go = (page: Page) => page.locator("button.go").click();

/** Enters a ewe by reader and three taps, and waits until she is saved. */
export async function enterEwe(
  page: Page,
  tag: string,
  carries: number,
  score: number,
): Promise<void> {
  await wedge(page, tag);
  await expect(page.locator(".race-name")).toBeVisible();
  await lambs(page, carries);
  await condition(page, score);
  await go(page);
  await expect(page.locator(".race-pen.done")).toContainText(tag);
}

/** Every stored event, as it stands in the store. */
export function stored(page: Page): Promise<unknown[]> {
  return page.evaluate(
    () =>
      new Promise<unknown[]>((resolve, reject) => {
        const request = indexedDB.open("evenfold-journal");
        request.onerror = () => reject(new Error("the store does not open"));
        request.onsuccess = () => {
          const all = request.result
            .transaction("events")
            .objectStore("events")
            .getAll();
          all.onsuccess = () => {
            request.result.close();
            resolve(all.result);
          };
        };
      }),
  );
}

/** One stored event. */
export interface Line {
  device: string;
  sequence: number;
  what: {
    kind: string;
    ewe?: { eid?: string; tag?: string };
    eid?: string;
    tag?: string;
    pen?: string;
    lambs?: number;
    score?: number;
  };
}

/** The stored events, read. */
export const lines = async (page: Page): Promise<Line[]> =>
  (await stored(page)).map((line) => JSON.parse(String(line)) as Line);

/** Saves the backup; its text. */
export async function backup(page: Page): Promise<string> {
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save backup" }).click(),
  ]);
  return readFileSync(await download.path(), "utf8");
}

/** Goes to lists and backup. */
export const toMore = (page: Page) =>
  page.getByRole("button", { name: "Lists and backup" }).click();

/** The tablet's screen, upright and lying. */
export const SIZES = [
  [768, 1024],
  [1024, 768],
] as const;

/** The browser throws the first copy of the journal away; nobody may hold it open. */
export function throwFirstCopyAway(page: Page): Promise<void> {
  return page.evaluate(
    () =>
      new Promise<void>((resolve, reject) => {
        const gone = indexedDB.deleteDatabase("evenfold-journal");
        gone.onsuccess = () => resolve();
        gone.onblocked = () => reject(new Error("somebody holds it"));
      }),
  );
}
