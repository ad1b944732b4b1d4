/** The room about one ewe is for everybody: contrast, names, sizes, narrow screens. */
import { field, openAll } from "./ewe-needs.ts";
import { AxeBuilder, expect, test } from "./support.ts";

for (const colorScheme of ["light", "dark"] as const) {
  test(`nothing stands in anybody's way: need, ${colorScheme}`, async ({
    page,
  }) => {
    await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
    await openAll(page);
    const faults = async () => {
      const found = await new AxeBuilder({ page })
        .withTags(["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"])
        .withRules(["color-contrast-enhanced"])
        .analyze();
      return found.violations.map(
        ({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(" ")}`,
      );
    };
    expect(await faults()).toEqual([]);
    await field(page, /Live weight/).fill("300");
    await expect(page.locator(".amount.stale")).toBeVisible();
    expect(await faults()).toEqual([]);
  });
}

for (const [width, height] of [
  [768, 1024],
  [1024, 768],
  [360, 800],
] as const) {
  test(`targets are at least 64 px and 16 px apart: need, ${width} × ${height}`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height });
    await openAll(page);
    const faults = await page.evaluate(() => {
      const found: string[] = [];
      const targets = "button, summary, input:not([type=radio]), .choice label";
      const boxes = [...document.querySelectorAll(`#app ${targets}`)]
        .map((target) => ({ target, box: target.getBoundingClientRect() }))
        .filter(({ box }) => box.width > 0);
      for (const { target, box } of boxes)
        if (box.width < 63.9 || box.height < 63.9)
          found.push(`small: ${target.outerHTML.slice(0, 80)}`);
      const apart = boxes.filter(({ target }) => target.matches(".about *"));
      for (const [at, one] of apart.entries()) {
        for (const other of apart.slice(at + 1)) {
          if (one.target.matches("summary") || other.target.matches("summary"))
            continue;
          const across =
            Math.max(one.box.left, other.box.left) -
            Math.min(one.box.right, other.box.right);
          const down =
            Math.max(one.box.top, other.box.top) -
            Math.min(one.box.bottom, other.box.bottom);
          if (across < 15.9 && down < 15.9)
            found.push(
              `close: ${one.target.outerHTML.slice(0, 60)} ${other.target.outerHTML.slice(0, 60)}`,
            );
        }
      }
      return found;
    });
    expect(faults).toEqual([]);
  });
}

test("no sideways scrolling at 320 px: need", async ({ page }) => {
  await page.setViewportSize({ width: 320, height: 640 });
  await openAll(page);
  const { scroll, client } = await page.evaluate(() => ({
    scroll: document.documentElement.scrollWidth,
    client: document.documentElement.clientWidth,
  }));
  expect(scroll).toBeLessThanOrEqual(client);
});
