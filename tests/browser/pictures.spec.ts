/** Pictures of every screen, to be looked at: `npm run screenshots`. */
import { join } from "node:path";
import {
  openDemo,
  expect,
  openEwe,
  openStart,
  pickUp,
  PICTURES,
  test,
  type Page,
} from "./support.ts";

const SIZES = {
  wide: [1024, 768],
  tall: [768, 1024],
  slim: [390, 844],
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
        await pickUp(page, 1, 4);
        await shoot("hand-first", false);
        await shoot("hand");
        await page.locator(".put button.main").first().click();
        await expect(page.locator(".moved")).toBeVisible();
        await shoot("moved-first", false);
        await page.getByRole("button", { name: "Take it back" }).click();
        await expect(page.locator(".moved")).toHaveCount(0);
        await openEwe(page, 1, 4);
        await shoot("ewe", width < 900);
        await page.keyboard.press("Escape");
        for (const part of ["Ewes to look at", "Faults", "Print and save"])
          await shootPart(page, part, shoot);
        const room = (name: string) =>
          page
            .getByRole("navigation", { name: "Rooms" })
            .getByRole("button", { name })
            .click();
        await room("Regroup");
        await shoot("regroup-start");
        await page
          .getByRole("button", { name: "Use invented old pens" })
          .click();
        await expect(page.locator(".pay svg[role=img]")).toBeVisible();
        await shoot("regroup");
        await room("Rule card");
        await expect(page.locator(".card-sheet")).toBeVisible();
        await shoot("card");
        await page.getByRole("radio", { name: "Three questions" }).check();
        await expect(page.locator(".card-sheet .questions")).toBeVisible();
        await shoot("card-questions");
        await room("Pen count");
        await expect(page.locator(".pay svg[role=img]")).toBeVisible();
        await shoot("count");
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

test("cards and moves on paper", { tag: "@pictures" }, async ({ page }) => {
  await openDemo(page);
  const room = (name: string) =>
    page
      .getByRole("navigation", { name: "Rooms" })
      .getByRole("button", { name })
      .click();
  const pdf = (name: string) =>
    page.pdf({
      path: join(PICTURES, `${name}.pdf`),
      preferCSSPageSize: true,
      printBackground: true,
    });
  await room("Rule card");
  await expect(page.locator("main .card-sheet")).toBeVisible();
  await pdf("card-points-a4");
  await page.getByRole("radio", { name: "A5" }).check();
  await pdf("card-points-a5");
  await page.getByRole("radio", { name: "Three questions" }).check();
  await expect(page.locator("main .card-sheet .questions")).toBeVisible();
  await pdf("card-questions-a5");
  await room("Regroup");
  await page.getByRole("button", { name: "Use invented old pens" }).click();
  await expect(page.locator(".pay svg[role=img]")).toBeVisible();
  await pdf("moves");
});

test("the pen lists on paper", { tag: "@pictures" }, async ({ page }) => {
  await openDemo(page);
  await page.pdf({
    path: join(PICTURES, "pens.pdf"),
    preferCSSPageSize: true,
    printBackground: true,
  });
});
