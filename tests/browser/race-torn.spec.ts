/**
 * What a kill in the middle of a write leaves behind, put there on purpose: the head of a record without its body at
 * the end of the log. Chromium goes on behind it, and at the next start but one it deletes the database.
 */
import { appendFileSync, mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { logs, Own } from "./own.ts";
import {
  beginBare,
  enterEwe,
  harsh as test,
  lines,
  openRace,
} from "./race-support.ts";
import { expect, type Page } from "./support.ts";

/** The block of LevelDB's log format: no record crosses its end. */
const BLOCK = 32768;

/** Writes the head of a record that never came: sum, length, kind. */
function tear(log: string): void {
  const left = BLOCK - (statSync(log).size % BLOCK);
  expect(left, "room for a record in this block").toBeGreaterThan(16);
  const head = Buffer.alloc(7);
  head.writeUInt32LE(0x12345678, 0);
  head.writeUInt16LE(Math.min(200, left - 7), 4);
  head.writeUInt8(1, 6);
  appendFileSync(log, head);
}

/** Tags of the ewes that the page's store holds, after a check that no event is missing. */
async function tags(page: Page): Promise<(string | undefined)[]> {
  const events = await lines(page);
  expect(events.map(({ sequence }) => sequence)).toEqual(
    events.map((_, at) => at + 1),
  );
  expect(new Set(events.map(({ device }) => device)).size).toBe(1);
  return events
    .filter(({ what }) => what.kind === "condition_scored")
    .map(({ what }) => what.ewe?.tag);
}

async function again(profile: string, own: Own): Promise<Own> {
  await own.kill();
  const next = await Own.start(profile);
  await openRace(next.page);
  await expect(next.page.locator(".race-gate")).toBeVisible();
  return next;
}

test("a copy that a torn write spoils is filled from the other, whichever it is, and nothing is missing", async () => {
  test.setTimeout(180_000);
  const profile = mkdtempSync(join(tmpdir(), "evenfold-torn-"));
  let own = await Own.start(profile);
  await openRace(own.page);
  await beginBare(own.page);
  const entered: string[] = [];
  const enter = async () => {
    entered.push(`TAG000${entered.length}`);
    await enterEwe(own.page, entered.at(-1) ?? "", 2, 3);
  };
  for (const which of ["first", "second", "first"] as const) {
    await enter();
    await own.kill();
    tear(logs(profile)[which]);
    own = await Own.start(profile);
    await openRace(own.page);
    await enter();
    own = await again(profile, own);
    // Here the browser has thrown that copy away.
    const said = own.page.getByText("were brought back from the second copy");
    await expect(said).toHaveCount(which === "first" ? 1 : 0);
    expect(await tags(own.page)).toEqual(entered);
    await enter();
    own = await again(profile, own);
    expect(await tags(own.page)).toEqual(entered);
  }
  await own.kill();
  rmSync(profile, { recursive: true, force: true });
});

test("what the second copy alone has is on the screen as soon as it is brought back", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  await enterEwe(page, "TAG0001", 2, 3);
  await enterEwe(page, "TAG0002", 2, 3);
  // The first copy loses what was entered of the last ewe.
  await page.evaluate(
    () =>
      new Promise<void>((resolve) => {
        const request = indexedDB.open("evenfold-journal");
        request.onsuccess = () => {
          const work = request.result.transaction("events", "readwrite");
          const walk = work.objectStore("events").openCursor();
          walk.onsuccess = () => {
            if (String(walk.result?.value).includes("TAG0002"))
              walk.result?.delete();
            walk.result?.continue();
          };
          work.oncomplete = () => {
            request.result.close();
            resolve();
          };
        };
      }),
  );
  await page.reload();
  await expect(
    page.getByText("were brought back from the second copy"),
  ).toBeVisible();
  await expect(page.locator(".race-run")).toContainText("2 ewes today");
});
