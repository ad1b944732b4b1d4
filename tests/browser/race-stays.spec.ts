/** Notices that stay while ewes go on: every pen stays in sight, and nothing lies under them. */
import {
  beginWithPens,
  condition,
  eid,
  harsh as test,
  lambs,
  openRace,
  SIZES,
  throwFirstCopyAway,
  wedge,
} from "./race-support.ts";
import { expect, openStart, type Page } from "./support.ts";

/** This one makes way for the first ewe. */
const BROUGHT = "were brought back from the second copy";

/** What brings a notice that stays, once the race has pens; the words that it is known by. */
const NOTICES: Record<string, (page: Page) => Promise<void>> = {
  "could not be read": async (page) => {
    await page.evaluate(
      () =>
        new Promise<void>((resolve) => {
          const request = indexedDB.open("evenfold-journal");
          request.onsuccess = () => {
            const work = request.result.transaction("events", "readwrite");
            work.objectStore("events").add("no line of a journal");
            work.oncomplete = () => {
              request.result.close();
              resolve();
            };
          };
        }),
    );
    await page.reload();
  },
  [BROUGHT]: async (page) => {
    await page.goto("about:blank");
    await openStart(page);
    await throwFirstCopyAway(page);
    await page.goto("about:blank");
    await openRace(page);
  },
  "Not saved": async (page) => {
    await page.evaluate(() => {
      // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own object
      const real = IDBDatabase.prototype.transaction;
      IDBDatabase.prototype.transaction = function (of, mode, ...rest) {
        if (mode === "readwrite")
          throw new DOMException("made to fail by the test", "UnknownError");
        return real.call(this, of, mode, ...rest);
      };
    });
    await wedge(page, eid(56));
    await lambs(page, 2);
    await condition(page, 3);
    await page.locator("button.go").click();
    await expect(page.locator(".race-notice")).toBeVisible({ timeout: 20_000 });
    await page.getByRole("button", { name: "Clear" }).click();
  },
};

/** What scrolls, and every target and pen that is not seen whole or is too small. */
function hidden(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = [];
    for (const part of [
      document.scrollingElement,
      document.querySelector(".race-pens"),
      document.querySelector(".race-notice"),
    ])
      if (part && part.scrollHeight > part.clientHeight + 1)
        found.push(`${part.className || part.tagName} scrolls`);
    for (const target of document.querySelectorAll(
      "main button, main input, main select",
    )) {
      const { left, right, top, bottom, width, height } =
        target.getBoundingClientRect();
      const words = target.textContent || target.tagName;
      const least = target.matches(
        ".race-lambs button, .race-condition button, .go",
      )
        ? 118
        : 64;
      if (Math.min(width, height) < least - 0.1)
        found.push(`${words} is ${width} by ${height}`);
      for (const x of [left + 6, right - 6])
        for (const y of [top + 6, bottom - 6])
          if (!target.contains(document.elementFromPoint(x, y)))
            found.push(`${words} is not seen at ${x}, ${y}`);
    }
    return found;
  });
}

for (const [width, height] of SIZES)
  for (const [words, bring] of Object.entries(NOTICES))
    test(`at ${width} by ${height} every pen stays in sight while it says: ${words}`, async ({
      page,
    }) => {
      await page.setViewportSize({ width, height });
      await openRace(page);
      await beginWithPens(page);
      await bring(page);
      await expect(page.locator(".race-pens li")).toHaveCount(7);
      const notice = page.locator(".race-notice");
      await expect(notice).toContainText(words);
      expect(await hidden(page), "before a ewe").toEqual([]);
      await wedge(page, eid(57));
      await lambs(page, 3);
      await condition(page, 2);
      await page.getByRole("button", { name: "+¼" }).click();
      await expect(page.locator(".race-why.long .race-to b")).toBeVisible();
      await expect(notice).toHaveCount(words === BROUGHT ? 0 : 1);
      expect(await hidden(page), "told at length").toEqual([]);
    });
