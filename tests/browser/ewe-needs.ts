/** What the tests of the room about one ewe share. */
import { expect, PAGE, type Page } from "./support.ts";

/** Opens the room about one ewe. */
export async function openNeed(page: Page): Promise<void> {
  await page.goto(`${PAGE}#need`);
  await expect(page.locator(".curves")).toBeVisible({ timeout: 30_000 });
}

/** A field of the form by its name. */
export const field = (page: Page, name: string | RegExp) =>
  page.getByRole("textbox", { name });
/** Energy as shown. */
export const energy = (page: Page) => page.locator(".amount .figure").first();
/** Protein as shown. */
export const protein = (page: Page) => page.locator(".amount .figure").nth(1);

/** The room with everything open, as much as there can be. */
export async function openAll(page: Page): Promise<void> {
  await openNeed(page);
  await field(page, "Condition").fill("2.5");
  await expect(page.locator(".amount .band")).toBeVisible();
  for (const summary of await page.locator("summary").all())
    await summary.click();
  await expect(
    page.getByRole("table", { name: "What is uncertain" }),
  ).toBeVisible();
}
