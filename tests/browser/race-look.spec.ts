/** The race for everybody: contrast, names, sizes, nothing that scrolls, by day and by night. */
import { AxeBuilder, expect, openStart, test, type Page } from "./support.ts";
import {
  beginWithPens,
  condition,
  eid,
  enterEwe,
  lambs,
  openRace,
  toMore,
  wedge,
} from "./race-support.ts";

const SIZES = [
  [768, 1024],
  [1024, 768],
] as const;

/** States of the screen, each from a fresh store. */
const STATES: Record<string, (page: Page) => Promise<void>> = {
  "nothing stored": openRace,
  empty: async (page) => {
    await openRace(page);
    await beginWithPens(page);
  },
  told: async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await wedge(page, eid(51));
    await lambs(page, 3);
    await condition(page, 2.5);
    await expect(page.locator(".race-to b")).toBeVisible();
  },
  given: async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await enterEwe(page, eid(52), 2, 3);
  },
  asked: async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await enterEwe(page, eid(53), 2, 3);
    await wedge(page, eid(53));
    await expect(page.locator(".race-ask")).toBeVisible();
  },
  refused: async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await wedge(page, "82607243450009");
    await expect(page.getByRole("alert")).toBeVisible();
  },
  "lists and backup": async (page) => {
    await openRace(page);
    await beginWithPens(page, true);
    await toMore(page);
  },
  "last acts": async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await enterEwe(page, eid(54), 2, 3);
    await page.getByRole("button", { name: "Last acts" }).click();
  },
};

for (const [name, reach] of Object.entries(STATES)) {
  test(`the race, ${name}: axe finds nothing, by day and by night`, async ({
    page,
  }) => {
    await reach(page);
    for (const colorScheme of ["light", "dark"] as const) {
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      const { violations } = await new AxeBuilder({ page })
        .withTags(["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"])
        .analyze();
      expect(
        violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)]),
      ).toEqual([]);
    }
  });
}

for (const [width, height] of SIZES) {
  test(`at ${width} by ${height} nothing scrolls and every target is large enough`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height });
    for (const state of ["empty", "told", "given"]) {
      await page.context().clearCookies();
      await fresh(page);
      await STATES[state]?.(page);
      const found = await page.evaluate(() => {
        const root = document.scrollingElement ?? document.documentElement;
        const boxes = [
          ...document.querySelectorAll<HTMLElement>(
            "main button, main input, main select",
          ),
        ].map((element) => {
          const { width, height, left, top, right, bottom } =
            element.getBoundingClientRect();
          const race = element.matches(
            ".race-lambs button, .race-condition button, .go",
          );
          return {
            words: element.textContent,
            race,
            width,
            height,
            left,
            top,
            right,
            bottom,
          };
        });
        return {
          scrolls: [
            root.scrollWidth > innerWidth,
            root.scrollHeight > innerHeight,
          ],
          boxes,
          inner: [innerWidth, innerHeight] as const,
        };
      });
      expect(found.scrolls, state).toEqual([false, false]);
      for (const box of found.boxes) {
        expect(
          box.height,
          `${state}: ${box.words} high`,
        ).toBeGreaterThanOrEqual(box.race ? 118 : 63.9);
        expect(box.width, `${state}: ${box.words} wide`).toBeGreaterThanOrEqual(
          box.race ? 118 : 63.9,
        );
        expect(box.right, box.words).toBeLessThanOrEqual(found.inner[0]);
        expect(box.bottom, box.words).toBeLessThanOrEqual(found.inner[1]);
      }
      expect(overlaps(found.boxes), state).toEqual([]);
    }
  });
}

/** Empties the store. */
async function fresh(page: Page): Promise<void> {
  await page.goto("about:blank");
  await openStart(page);
  await page.evaluate(
    () =>
      new Promise<void>((resolve) => {
        localStorage.clear();
        const gone = indexedDB.deleteDatabase("evenfold-journal");
        gone.onsuccess = gone.onerror = gone.onblocked = () => resolve();
      }),
  );
  await page.goto("about:blank");
}

/** Targets that lie on one another. */
function overlaps(
  boxes: {
    words: string;
    left: number;
    top: number;
    right: number;
    bottom: number;
  }[],
): string[] {
  return boxes.flatMap((one, at) =>
    boxes
      .slice(at + 1)
      .filter(
        (other) =>
          one.left < other.right - 1 &&
          other.left < one.right - 1 &&
          one.top < other.bottom - 1 &&
          other.top < one.bottom - 1,
      )
      .map((other) => `${one.words} / ${other.words}`),
  );
}
