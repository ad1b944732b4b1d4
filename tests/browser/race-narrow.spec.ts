/** The race on narrow screens: the pen that is told stays in sight and leaves the rest in sight. */
import { expect, test, type Page } from "./support.ts";
import {
  beginWithPens,
  condition,
  eid,
  lambs,
  openRace,
  wedge,
} from "./race-support.ts";

/** Telephones, a tablet at twice the size, and a small one at twice the size on its side. */
const SIZES = [
  [360, 800],
  [390, 844],
  [384, 512],
  [512, 384],
] as const;

const box = (page: Page) => page.locator(".race-pen");

for (const [width, height] of SIZES) {
  test(`at ${width} by ${height} the pen that is told covers less than half, and nothing that has the focus`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height });
    await openRace(page);
    await beginWithPens(page);
    // As long as nothing is told it takes nothing.
    expect(
      await box(page).evaluate((part) => getComputedStyle(part).position),
    ).toBe("static");
    await wedge(page, eid(61));
    await expect(page.locator(".race-name")).toBeVisible();
    await lambs(page, 3);
    await condition(page, 2.5);
    await expect(page.locator(".race-to b")).toBeVisible();
    await page.evaluate(() => scrollTo(0, 0));
    const told = await box(page).boundingBox();
    expect(told?.height).toBeLessThanOrEqual(height * 0.46 + 1);
    const [go, pen] = [
      await page.locator("button.go").boundingBox(),
      await page.locator(".race-to").boundingBox(),
    ];
    for (const part of [go, pen]) {
      expect(part?.y).toBeGreaterThanOrEqual(0);
      expect((part?.y ?? 0) + (part?.height ?? 0)).toBeLessThanOrEqual(
        height + 1,
      );
    }
    // Every control but those of the box itself: whatever gets the focus is seen whole.
    const covered = await page.evaluate(() => {
      const found: string[] = [];
      const pen = document.querySelector(".race-pen");
      for (const part of document.querySelectorAll<HTMLElement>(
        ".race-gate button:not(:disabled), .race-gate input, .race-gate select",
      )) {
        if (pen?.contains(part)) continue;
        part.focus();
        const own = part.getBoundingClientRect();
        const over = pen?.getBoundingClientRect() ?? new DOMRect();
        const apart = own.bottom <= over.top + 1 || own.top >= over.bottom - 1;
        if (!apart) found.push(part.textContent || part.tagName);
      }
      return found;
    });
    expect(covered).toEqual([]);
  });
}
