/** The race for everybody: contrast, names, sizes, nothing that scrolls, by day and by night. */
import { AxeBuilder, expect, openStart, test, type Page } from "./support.ts";
import {
  beginWithPens,
  condition,
  eid,
  enterEwe,
  lambs,
  openRace,
  SIZES,
  toMore,
  wedge,
} from "./race-support.ts";

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
  "told at length": async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await wedge(page, eid(57));
    await lambs(page, 3);
    await condition(page, 2);
    await page.getByRole("button", { name: "+¼" }).click();
    await expect(page.locator(".race-why.long .race-to b")).toBeVisible();
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
  resumed: async (page) => {
    await openRace(page);
    await beginWithPens(page, true);
    await enterEwe(page, eid(55), 2, 3);
    await page.reload();
    await expect(page.getByText("Resumed: 1 ewe, the last")).toBeVisible();
    await expect(page.locator(".race-pens li").first()).toBeAttached();
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
    for (const state of [
      "empty",
      "told",
      "told at length",
      "given",
      "resumed",
    ]) {
      await page.context().clearCookies();
      await fresh(page);
      await STATES[state]?.(page);
      const found = await page.evaluate(() => {
        const root = document.scrollingElement ?? document.documentElement;
        const pens = document.querySelector(".race-pens");
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
            pens !== null && pens.scrollHeight > pens.clientHeight + 1,
          ],
          boxes,
          inner: [innerWidth, innerHeight] as const,
        };
      });
      expect(found.scrolls, state).toEqual([false, false, false]);
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
  // Both copies of the journal: a first one that is empty is filled again from the second.
  await page.evaluate(async () => {
    interface Buckets {
      keys: () => Promise<string[]>;
      delete: (name: string) => Promise<void>;
    }
    const buckets = (navigator as unknown as { storageBuckets?: Buckets })
      .storageBuckets;
    for (const name of (await buckets?.keys()) ?? [])
      await buckets?.delete(name);
    await new Promise<void>((resolve) => {
      const gone = indexedDB.deleteDatabase("evenfold-journal");
      gone.onsuccess = gone.onerror = gone.onblocked = () => resolve();
    });
  });
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

for (const [width, height] of SIZES)
  test(`at ${width} by ${height} a notice leaves every pen in sight, and the bar comes back when it is closed`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height });
    await STATES.refused?.(page);
    const pens = page.locator(".race-pens");
    const scrolls = () =>
      pens.evaluate((list) => list.scrollHeight > list.clientHeight + 1);
    expect(await scrolls()).toBe(false);
    const last = await pens.locator("li").last().boundingBox();
    expect((last?.y ?? 0) + (last?.height ?? 0)).toBeLessThanOrEqual(height);
    const notice = await page.locator(".race-notice").boundingBox();
    const who = await page.locator(".race-who").boundingBox();
    expect((notice?.y ?? 0) + (notice?.height ?? 0)).toBeLessThanOrEqual(
      (who?.y ?? 0) + 1,
    );
    await page.locator(".race-notice").getByRole("button").click();
    await expect(page.getByRole("button", { name: "Last acts" })).toBeVisible();
  });

test("on its side a notice hides nothing that is seen of her", async ({
  page,
}) => {
  await page.setViewportSize({ width: 1024, height: 768 });
  await STATES.refused?.(page);
  const found = await page.evaluate(() => {
    const box = (of: Element | null, name = "") => {
      const { top, bottom, left, right, height } =
        of?.getBoundingClientRect() ?? new DOMRect();
      return { name, top, bottom, left, right, height };
    };
    const notice = box(document.querySelector(".race-notice"));
    const seen = [
      ...document.querySelectorAll(
        ".race-who, .race-lambs, .race-condition, .race-stays, .race-marks, .race-pen",
      ),
    ].map((part) => box(part, part.className));
    return { notice, seen };
  });
  expect(found.seen).toHaveLength(6);
  for (const part of found.seen) {
    expect(part.height, part.name).toBeGreaterThan(40);
    expect(part.bottom, part.name).toBeLessThanOrEqual(768);
    const apart =
      part.bottom <= found.notice.top ||
      part.right <= found.notice.left ||
      part.top >= found.notice.bottom;
    expect(apart, `${part.name} lies under the notice`).toBe(true);
  }
  expect(found.notice.bottom).toBeLessThanOrEqual(768);
  await page.locator(".race-notice").getByRole("button").click();
  await expect(page.locator(".race-notice")).toHaveCount(0);
});

for (const width of [320, 390]) {
  test(`at ${width} wide nothing lies beside the screen, and all is told within two thumbs' reach`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height: 844 });
    for (const state of ["empty", "told", "given", "lists and backup"]) {
      await fresh(page);
      await STATES[state]?.(page);
      const beside = await page.evaluate(() =>
        [...document.querySelectorAll("main *")]
          .filter((part) => {
            const { right, left, width } = part.getBoundingClientRect();
            return width > 0 && (right > innerWidth + 1 || left < -1);
          })
          .map((part) => `${part.tagName}.${part.getAttribute("class")}`),
      );
      expect(beside, state).toEqual([]);
      const wide = await page.evaluate(
        () => document.scrollingElement?.scrollWidth,
      );
      expect(wide, state).toBeLessThanOrEqual(width);
      if (state !== "told") continue;
      // The pen that is told, and the button that enters her, are in sight without scrolling.
      const go = await page.locator("button.go").boundingBox();
      expect((go?.y ?? 0) + (go?.height ?? 0)).toBeLessThanOrEqual(844);
      const pen = await page.locator(".race-to").boundingBox();
      expect(pen?.y).toBeGreaterThanOrEqual(0);
    }
  });
}
