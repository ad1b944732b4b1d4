/** Nothing that was confirmed is ever lost: killed browsers, storage that fails, two windows, old windows, backups. */
import { spawn, type ChildProcess } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "../../www/harness.ts";
import { BUILT, expect, PAGE, test as base, type Page } from "./support.ts";
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
  stored,
  toMore,
  wedge,
} from "./race-support.ts";

// Storage is made to fail here, and browsers to die: what the console says of it is wanted.
const test = base.extend<{ watched: { outside: string[]; faults: string[] } }>({
  watched: async ({ page }, use) => {
    expect(page).toBeTruthy();
    await use({ outside: [], faults: [] });
  },
});

/** A browser of our own on a profile of its own, in a process group of its own. */
class Own {
  private constructor(
    private readonly child: ChildProcess,
    readonly page: Page,
  ) {}

  static async start(profile: string): Promise<Own> {
    const child = spawn(
      process.env.CHROMIUM ?? "/usr/bin/chromium",
      [
        "--headless=new",
        "--no-sandbox",
        "--no-first-run",
        "--remote-debugging-port=0",
        `--user-data-dir=${profile}`,
        "about:blank",
      ],
      { detached: true, stdio: ["ignore", "ignore", "pipe"] },
    );
    const address = await new Promise<string>((resolve, reject) => {
      let said = "";
      child.stderr?.on("data", (part: Buffer) => {
        said += part.toString();
        const found = /ws:\/\/\S+/.exec(said);
        if (found) resolve(found[0]);
      });
      child.on("exit", () => reject(new Error(said)));
    });
    const browser = await chromium.connectOverCDP(address);
    const context = browser.contexts()[0];
    const page = context?.pages()[0] ?? (await context?.newPage());
    if (!page) throw new Error("the browser has no page");
    return new Own(child, page);
  }

  /** SIGKILL to this browser's whole group, and to no other. */
  kill(): Promise<void> {
    const gone = new Promise<void>((resolve) => {
      this.child.once("exit", () => resolve());
    });
    if (this.child.pid !== undefined) process.kill(-this.child.pid, "SIGKILL");
    return gone;
  }
}

const KILLS = Number(process.env.EVENFOLD_KILLS ?? 20);

test(`the browser killed ${KILLS} times in mid-burst: no confirmed ewe is missing, no event is skipped`, async () => {
  test.setTimeout(60_000 + KILLS * 20_000);
  const profile = mkdtempSync(join(tmpdir(), "evenfold-kill-"));
  const confirmed = new Set<string>();
  let own = await Own.start(profile);
  await openRace(own.page);
  await beginBare(own.page);
  for (let round = 0; round < KILLS; round++) {
    const { page } = own;
    let first: () => void = () => undefined;
    const begun = new Promise<void>((resolve) => (first = resolve));
    await page.exposeFunction("confirmed", (tag: string) => {
      confirmed.add(tag);
      first();
    });
    // As fast as the page lets anybody: the next ewe as soon as "Saved" names the one before.
    void page
      .evaluate(async (start) => {
        const until = async (there: () => boolean) => {
          while (!there())
            await new Promise((resolve) => setTimeout(resolve, 1));
        };
        const tap = (selector: string, at = 0) =>
          document.querySelectorAll<HTMLElement>(selector)[at]?.click();
        const done = () =>
          document.querySelector(".race-pen.done")?.textContent ?? "";
        const tell = (window as unknown as { confirmed: (tag: string) => void })
          .confirmed;
        for (let at = 0; at < 10_000; at++) {
          const tag = `K${start}.${at}`;
          for (const key of [...`${tag}......`.slice(0, 8), "Enter"])
            document.body.dispatchEvent(
              new KeyboardEvent("keydown", {
                key,
                bubbles: true,
                cancelable: true,
              }),
            );
          const named = `${tag}......`.slice(0, 8);
          await until(
            () =>
              document
                .querySelector(".race-name")
                ?.textContent?.includes(named) ?? false,
          );
          tap(".race-lambs button", 2);
          tap(".race-condition button", 4);
          await until(
            () =>
              !(
                document.querySelector<HTMLButtonElement>("button.go")
                  ?.disabled ?? true
              ),
          );
          tap("button.go");
          await until(() => done().includes(named));
          tell(named);
        }
      }, round)
      .catch(() => undefined);
    await begun;
    await new Promise((resolve) => setTimeout(resolve, (round * 137) % 700));
    await own.kill();
    own = await Own.start(profile);
    await openRace(own.page);
    await expect(own.page.locator(".race-gate")).toBeVisible();
    const events = await lines(own.page);
    const sequences = events.map(({ sequence }) => sequence);
    expect(sequences, "a prefix without a gap").toEqual(
      Array.from({ length: events.length }, (_, at) => at + 1),
    );
    expect(new Set(events.map(({ device }) => device)).size).toBe(1);
    const found = new Set(
      events
        .filter(({ what }) => what.kind === "condition_scored")
        .map(({ what }) => what.ewe?.tag),
    );
    expect([...confirmed].filter((tag) => !found.has(tag))).toEqual([]);
    // What is shown is what is stored.
    await expect(own.page.locator(".race-run")).toContainText(
      `${found.size} ewe`,
    );
  }
  expect(confirmed.size).toBeGreaterThanOrEqual(KILLS);
  await own.kill();
  rmSync(profile, { recursive: true, force: true });
});

/** Makes the n-th transaction fail: refused at once, or aborted when all its requests were made. */
function failing({
  at,
  how,
}: {
  at: number;
  how: "throw" | "abort" | "full";
}): void {
  let count = 0;
  const state = { fired: false, count: 0 };
  Object.assign(window, { failing: state });
  const real = IDBDatabase.prototype.transaction;
  Object.assign(window, { realTransaction: real });
  IDBDatabase.prototype.transaction = function (...of) {
    count += 1;
    state.count = count;
    if (count !== at) return real.apply(this, of);
    state.fired = true;
    if (how === "throw") throw new DOMException("made to fail", "UnknownError");
    const work = real.apply(this, of);
    if (how === "abort") {
      queueMicrotask(() => {
        try {
          work.abort();
        } catch {
          // It is done already.
        }
      });
      return work;
    }
    // A full disk: the transaction aborts with the quota's name.
    Object.defineProperty(work, "error", {
      get: () => new DOMException("made to be full", "QuotaExceededError"),
    });
    queueMicrotask(() => {
      try {
        work.abort();
      } catch {
        // It is done already.
      }
    });
    return work;
  };
}

/** Stored lines, by way of what was not made to fail. */
async function storedDespite(
  page: Page,
): Promise<
  { what: { kind: string; ewe?: { tag?: string } }; sequence: number }[]
> {
  const found = await page.evaluate(
    () =>
      new Promise<string[]>((resolve) => {
        const request = indexedDB.open("evenfold-journal");
        request.onsuccess = () => {
          const real = (
            window as unknown as {
              realTransaction: typeof IDBDatabase.prototype.transaction;
            }
          ).realTransaction;
          const all = real
            .call(request.result, ["events"], "readonly")
            .objectStore("events")
            .getAll();
          all.onsuccess = () => {
            request.result.close();
            resolve(all.result as string[]);
          };
        };
      }),
  );
  return found.map(
    (line) =>
      JSON.parse(line) as {
        what: { kind: string; ewe?: { tag?: string } };
        sequence: number;
      },
  );
}

for (const how of ["throw", "abort"] as const) {
  test(`the n-th operation of the store fails (${how}), for every n: nothing confirmed is lost, nothing goes unsaid`, async ({
    browser,
  }) => {
    test.setTimeout(600_000);
    let n = 0;
    for (let fired = true; fired;) {
      n += 1;
      expect(n, "there is an end").toBeLessThan(200);
      const context = await browser.newContext();
      const page = await context.newPage();
      await page.addInitScript(failing, { at: n, how });
      const confirmed: string[] = [];
      const alert = page.locator(".race-notice.grave[role=alert]");
      let said = false;
      const looked = async () => (said ||= await alert.first().isVisible());
      await page.goto(`${PAGE}#race`);
      const wait = page
        .getByText("Try again")
        .or(page.getByRole("button", { name: "Begin without lists" }));
      await expect(wait.first()).toBeVisible({ timeout: 30_000 });
      await looked();
      const again = page.getByRole("button", { name: "Try again" });
      if (await again.isVisible()) await again.click();
      const name = page.getByLabel("The flock's name");
      const gate = page.locator(".race-gate");
      for (let tries = 0; tries < 3 && !(await gate.isVisible()); tries++) {
        await name.fill("Home");
        const begin = page.getByRole("button", { name: "Begin without lists" });
        await expect(begin.or(alert).first()).toBeVisible();
        await looked();
        if (!(await begin.isEnabled())) {
          // The device's name could not be kept: the page is opened anew.
          await page.waitForTimeout(150);
          if (!(await begin.isEnabled())) break;
        }
        await begin.click();
        await expect(gate.or(alert).first()).toBeVisible();
        await looked();
      }
      for (const tag of ["TAG0001", "TAG0002"]) {
        if (!(await gate.isVisible())) break;
        await wedge(page, tag);
        if (!(await shows(page, ".race-name", tag))) break;
        await lambs(page, 2);
        await condition(page, 3);
        for (let tries = 0; tries < 2; tries++) {
          await looked();
          const button = page.locator("button.go");
          if (!(await button.isEnabled())) break;
          await button.click();
          await expect(
            page.locator(".race-pen.done").or(alert).first(),
          ).toBeVisible();
          await looked();
          if (await shows(page, ".race-pen.done", tag)) {
            confirmed.push(tag);
            break;
          }
        }
      }
      const state = await page.evaluate(
        () => (window as unknown as { failing: { fired: boolean } }).failing,
      );
      fired = state.fired;
      const events = await storedDespite(page);
      const scored = events
        .filter(({ what }) => what.kind === "condition_scored")
        .map(({ what }) => what.ewe?.tag);
      expect(
        confirmed.filter((tag) => !scored.includes(tag)),
        `operation ${n}: lost`,
      ).toEqual([]);
      expect(
        events.map(({ sequence }) => sequence),
        `operation ${n}: a gap`,
      ).toEqual(Array.from({ length: events.length }, (_, at) => at + 1));
      if (!fired) expect(confirmed).toEqual(["TAG0001", "TAG0002"]);
      // A failure that the person is not told of must have cost nothing at all.
      if (fired && !said)
        expect(confirmed, `operation ${n}: failed unsaid`).toEqual([
          "TAG0001",
          "TAG0002",
        ]);
      await context.close();
    }
    console.log(`${how}: ${n - 1} operations, each made to fail once`);
    expect(n).toBeGreaterThan(12);
  });
}

async function shows(
  page: Page,
  selector: string,
  words: string,
): Promise<boolean> {
  try {
    await expect(page.locator(selector)).toContainText(words, {
      timeout: 1500,
    });
    return true;
  } catch {
    return false;
  }
}

test("a full device is said loudly, nothing is half written, and the file can still be had", async ({
  page,
}) => {
  await page.addInitScript(() => {
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
        queueMicrotask(() => work.abort());
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
    const real = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (...of) {
      const work = real.apply(this, of);
      if (of[1] === "readwrite") seen.durability.add(work.durability);
      return work;
    };
    for (const act of ["put", "delete", "clear"] as const) {
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

test("the page that is tested is the built one", () => {
  expect(PAGE).toContain(BUILT.split("/").at(-1));
});
