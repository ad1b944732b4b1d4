/** The n-th operation of the store fails, for every n. */
import { expect, PAGE, type Page } from "./support.ts";
import { condition, harsh as test, lambs, wedge } from "./race-support.ts";

/** Makes the n-th transaction fail: refused at once, or aborted when all its requests were made. */
function failing({ at, how }: { at: number; how: "throw" | "abort" }): void {
  let count = 0;
  const state = { fired: false, count: 0 };
  Object.assign(window, { failing: state });
  // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own object
  const real = IDBDatabase.prototype.transaction;
  Object.assign(window, { realTransaction: real });
  IDBDatabase.prototype.transaction = function (...of) {
    count += 1;
    state.count = count;
    if (count !== at) return real.apply(this, of);
    state.fired = true;
    if (how === "throw") throw new DOMException("made to fail", "UnknownError");
    const work = real.apply(this, of);
    const abort = () => {
      try {
        work.abort();
      } catch {
        // It is done already.
      }
    };
    // What is committed by hand would be past aborting a moment later.
    work.commit = abort;
    queueMicrotask(abort);
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
      let said = false as boolean;
      const looked = async () => {
        if (await alert.first().isVisible()) said = true;
      };
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
        // What failed may be said a moment before the gate stands: then there is no name to ask for any more.
        const isAsked = await name.fill("Home", { timeout: 2000 }).then(
          () => true,
          () => false,
        );
        if (!isAsked) continue;
        const begin = page.getByRole("button", { name: "Begin without lists" });
        await expect(begin.or(alert).first()).toBeVisible();
        await looked();
        // The page may write in a moment, or never: where the device's name could not be kept it is opened anew.
        const mayBegin = await expect(begin)
          .toBeEnabled({ timeout: 2000 })
          .then(
            () => true,
            () => false,
          );
        await looked();
        if (!mayBegin) break;
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
