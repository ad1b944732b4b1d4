/** The store: full, damaged, two windows, older and newer windows, an unfinished card. */
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { expect, PAGE } from "./support.ts";
import {
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

test("a full device is said loudly, nothing is half written, and the file can still be had", async ({
  page,
}) => {
  await page.addInitScript(() => {
    // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own object
    const real = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (...of) {
      const work = real.apply(this, of);
      if (
        of[1] === "readwrite" &&
        (window as unknown as { full?: boolean }).full
      ) {
        Object.defineProperty(work, "error", {
          get: () => new DOMException("no room", "QuotaExceededError"),
        });
        work.commit = () => work.abort();
      }
      return work;
    };
  });
  await openRace(page);
  await beginBare(page);
  await enterEwe(page, "TAG0001", 2, 3);
  const before = await stored(page);
  await page.evaluate(() => Object.assign(window, { full: true }));
  await wedge(page, "TAG0002");
  await lambs(page, 2);
  await condition(page, 3);
  await go(page);
  const alert = page.getByRole("alert").filter({ hasText: "no room left" });
  await expect(alert).toBeVisible();
  await expect(page.locator(".race-pen.done")).toHaveCount(0);
  await expect(
    page.locator(".race-name"),
    "her card is still there",
  ).toContainText("TAG0002");
  expect(await stored(page)).toEqual(before);
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    alert.getByRole("button", { name: "Save the journal as a file" }).click(),
  ]);
  expect(download.suggestedFilename()).toMatch(/^evenfold-Home-.*\.jsonl$/);
  await page.evaluate(() => Object.assign(window, { full: false }));
  await go(page);
  await expect(page.locator(".race-pen.done")).toContainText("TAG0002");
  await expect(alert).toHaveCount(0);
});

test("writes are strict, one record an event, and none is ever changed", async ({
  page,
}) => {
  await page.addInitScript(() => {
    const seen = { durability: new Set<string>(), changed: 0 };
    Object.assign(window, { seen });
    // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own object
    const real = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (...of) {
      const work = real.apply(this, of);
      if (of[1] === "readwrite") seen.durability.add(work.durability);
      return work;
    };
    for (const act of ["put", "delete", "clear"] as const) {
      // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own object
      const own = IDBObjectStore.prototype[act] as (
        ...of: unknown[]
      ) => IDBRequest;
      (IDBObjectStore.prototype[act] as unknown) = function (
        this: IDBObjectStore,
        ...of: unknown[]
      ) {
        if (this.name === "events") seen.changed += 1;
        return own.apply(this, of);
      };
    }
  });
  await openRace(page);
  await beginWithPens(page, true);
  for (let at = 0; at < 5; at++) await enterEwe(page, eid(at + 1), 2, 3);
  await page.getByRole("button", { name: /^Undo: / }).click();
  await expect(page.locator(".race-run")).toContainText("4 ewes today");
  const seen = await page.evaluate(() => {
    const { durability, changed } = (
      window as unknown as {
        seen: { durability: Set<string>; changed: number };
      }
    ).seen;
    return { durability: [...durability], changed };
  });
  expect(seen).toEqual({ durability: ["strict"], changed: 0 });
  const events = await lines(page);
  expect(events.length).toBeGreaterThan(500);
  expect(events.map(({ sequence }) => sequence)).toEqual(
    events.map((_, at) => at + 1),
  );
});

test("a card that was left unfinished is there again and said", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  await wedge(page, "TAG0005");
  await lambs(page, 3);
  await page.getByRole("button", { name: "Udder" }).click();
  await expect
    .poll(() =>
      page.evaluate(
        () =>
          new Promise<string>((resolve) => {
            const request = indexedDB.open("evenfold-journal");
            request.onsuccess = () => {
              const kept = request.result
                .transaction("aside")
                .objectStore("aside")
                .get("card");
              kept.onsuccess = () => {
                request.result.close();
                resolve(JSON.stringify(kept.result));
              };
            };
          }),
      ),
    )
    .toContain("udder");
  await page.reload();
  await expect(
    page.getByText("Not entered yet when you left: TAG0005"),
  ).toBeVisible({ timeout: 30_000 });
  await expect(page.locator(".race-name")).toContainText("TAG0005");
  await expect(page.locator(".race-lambs button").nth(3)).toHaveAttribute(
    "aria-pressed",
    "true",
  );
  await expect(page.getByRole("button", { name: "Udder" })).toHaveAttribute(
    "aria-pressed",
    "true",
  );
});

test("damaged records stop nothing: they are kept and told of", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  await enterEwe(page, "TAG0001", 2, 3);
  const whole = (await stored(page)).map(String);
  await page.evaluate(
    (cut) =>
      new Promise<void>((resolve) => {
        const request = indexedDB.open("evenfold-journal");
        request.onsuccess = () => {
          const work = request.result.transaction("events", "readwrite");
          work.objectStore("events").add(cut);
          work.objectStore("events").add({ not: "a line" });
          work.oncomplete = () => {
            request.result.close();
            resolve();
          };
        };
      }),
    `{"v":1,"id":"x-9${whole[0]?.slice(0, 30) ?? ""}`,
  );
  await page.reload();
  await expect(page.getByRole("alert")).toContainText("could not be read", {
    timeout: 30_000,
  });
  await expect(page.locator(".race-run")).toContainText("1 ewe today");
  await enterEwe(page, "TAG0002", 1, 3);
  await toMore(page);
  const file = await backup(page);
  for (const line of whole) expect(file).toContain(line);
  expect(file).toContain("unread");
});

test("of two windows one writes; the second says that it only reads, and takes over when the first is closed", async ({
  page,
  context,
}) => {
  await openRace(page);
  await beginBare(page);
  await enterEwe(page, "TAG0001", 2, 3);
  const second = await context.newPage();
  await openRace(second);
  await expect(second.getByRole("alert")).toContainText("only reads");
  await expect(second.locator(".race-run")).toContainText("1 ewe today");
  await wedge(second, "TAG0002");
  await expect(second.locator("button.go")).toBeDisabled();
  await enterEwe(page, "TAG0003", 2, 3);
  await page.close();
  await expect(second.getByText("only reads")).toHaveCount(0, {
    timeout: 10_000,
  });
  await expect(second.locator(".race-run")).toContainText("2 ewes today");
  await enterEwe(second, "TAG0004", 2, 3);
  const events = await lines(second);
  expect(events.map(({ sequence }) => sequence)).toEqual(
    events.map((_, at) => at + 1),
  );
  expect(new Set(events.map(({ device }) => device)).size).toBe(1);
});

test("an older window in the way of a new store is named, and waiting ends when it closes", async ({
  page,
  context,
}) => {
  const file = join(mkdtempSync(join(tmpdir(), "evenfold-hold-")), "hold.html");
  writeFileSync(file, "<!doctype html><title>hold</title>");
  const older = await context.newPage();
  await older.goto(pathToFileURL(file).href);
  await older.evaluate(
    () =>
      new Promise<void>((resolve) => {
        const request = indexedDB.open("evenfold-journal", 1);
        request.onupgradeneeded = () => {
          request.result.createObjectStore("events", { autoIncrement: true });
          request.result.createObjectStore("aside");
        };
        request.onsuccess = () => resolve();
      }),
  );
  await page.addInitScript(() => {
    // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own object
    const real = IDBFactory.prototype.open;
    IDBFactory.prototype.open = function (name, version) {
      return real.call(
        this,
        name,
        version === undefined ? undefined : version + 1,
      );
    };
  });
  await page.goto(`${PAGE}#race`);
  await expect(
    page.getByText("Another window of this page holds an older journal open"),
  ).toBeVisible({ timeout: 10_000 });
  await older.close();
  await expect(
    page.getByRole("button", { name: "Begin without lists" }),
  ).toBeVisible({ timeout: 20_000 });
});

test("this window lets go of the store where a newer page needs it, and says so", async ({
  page,
  context,
}) => {
  await openRace(page);
  await beginBare(page);
  const newer = await context.newPage();
  await newer.goto(PAGE);
  await newer.evaluate(
    () =>
      new Promise<void>((resolve, reject) => {
        const request = indexedDB.open("evenfold-journal", 99);
        request.onsuccess = () => resolve();
        request.onblocked = () => reject(new Error("it does not let go"));
      }),
  );
  await expect(page.getByRole("alert")).toContainText("taken over");
  await expect(page.locator("button.go")).toBeDisabled();
});
