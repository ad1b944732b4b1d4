/** Pictures of every screen, to be looked at: `npm run screenshots`. */
import { join } from "node:path";
import {
  openDemo,
  openEwe,
  openStart,
  PICTURES,
  test,
  type Page,
} from "./support.ts";

const SIZES = {
  wide: [1024, 768],
  tall: [768, 1024],
  slim: [360, 800],
} as const;

for (const [size, [width, height]] of Object.entries(SIZES)) {
  for (const colorScheme of ["light", "dark"] as const) {
    test(
      `pictures: ${size}, ${colorScheme}`,
      { tag: "@pictures" },
      async ({ page }) => {
        await page.setViewportSize({ width, height });
        await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
        const shoot = (name: string, whole = true) =>
          page.screenshot({
            path: join(PICTURES, `${name}-${size}-${colorScheme}.png`),
            fullPage: whole,
          });
        await openStart(page);
        await shoot("start");
        await openDemo(page);
        await shoot("pens-first", false);
        await shoot("pens");
        await openEwe(page, 1, 4);
        await shoot("ewe", width < 900);
        await page.keyboard.press("Escape");
        for (const part of ["Ewes to look at", "Faults", "Print and save"])
          await shootPart(page, part, shoot);
      },
    );
  }
}

async function shootPart(
  page: Page,
  part: string,
  shoot: (name: string) => Promise<unknown>,
): Promise<void> {
  await page
    .getByRole("navigation")
    .getByRole("button", { name: part })
    .click();
  await shoot(part.split(" ")[0]?.toLowerCase() ?? part);
}

test("the pen lists on paper", { tag: "@pictures" }, async ({ page }) => {
  await openDemo(page);
  await page.pdf({
    path: join(PICTURES, "pens.pdf"),
    preferCSSPageSize: true,
    printBackground: true,
  });
});
