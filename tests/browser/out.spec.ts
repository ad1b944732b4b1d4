/** What leaves the page: on paper and in files. */
import { readFileSync } from "node:fs";
import {
  expect,
  list,
  openDemo,
  sortLists,
  test,
  twins,
  type Page,
} from "./support.ts";

/** The page tree of a PDF names its count. */
const sheets = (pdf: Buffer) =>
  (pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g) ?? []).length;

const filled = async (page: Page) => {
  const heads = await page.locator(".pen:not(.empty)").count();
  return heads;
};

test("printing gives one A4 sheet a pen and nothing else", async ({ page }) => {
  await openDemo(page);
  const pens = await filled(page);
  const pdf = await page.pdf({
    preferCSSPageSize: true,
    printBackground: true,
  });
  expect(sheets(pdf)).toBe(pens);
  expect(pdf.toString("latin1")).toMatch(
    /\/MediaBox\s*\[0 0 59[45](\.\d+)? 84[12](\.\d+)?\]/,
  );
  await expect(page.locator("#print")).toBeEmpty();
});

test("a pen of fifty ewes with notes fits one sheet", async ({ page }) => {
  const rows = twins(() => "2027-03-05", 50).split("\n");
  const flock = rows.map(
    (row, at) =>
      `${row},${at === 0 ? "notes" : "abscess on jaw drained twice"}`,
  );
  await sortLists(page, [
    list("flock.csv", flock.join("\n")),
    list("pens.csv", "pen,trough_m,area_m2\nA,40,100\n"),
  ]);
  const pdf = await page.pdf({ preferCSSPageSize: true });
  expect(sheets(pdf)).toBe(1);
});

test("paper stays white when the screen is set for the night", async ({
  page,
}) => {
  await page.emulateMedia({ colorScheme: "dark" });
  await openDemo(page);
  await page.emulateMedia({ colorScheme: "dark", media: "print" });
  const ink = await page.evaluate(() => getComputedStyle(document.body).color);
  expect(ink).toBe("rgb(25, 26, 28)");
});

test("every ewe stands once on paper, with her pen, the caution and the mark of the demo", async ({
  page,
}) => {
  await openDemo(page);
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  const rows = await page.locator("#print .tag").allTextContents();
  expect(new Set(rows).size).toBe(rows.length);
  expect(rows.length).toBe(await page.locator(".pens .mark").count());
  const papers = page.locator(".paper");
  for (const paper of await papers.all()) {
    await expect(paper.locator("footer")).toHaveText(/\w/);
    await expect(paper).toContainText("Invented flock");
  }
  await page.evaluate(() => dispatchEvent(new Event("afterprint")));
  await expect(papers).toHaveCount(0);
});

test("one pen is printed alone", async ({ page }) => {
  await page.addInitScript(() => {
    // The dialogue itself cannot be tested; what would be on paper can.
    window.print = () => {
      dispatchEvent(new Event("beforeprint"));
      document.title = String(document.querySelectorAll(".paper").length);
    };
  });
  await openDemo(page);
  await page
    .getByRole("navigation")
    .getByRole("button", { name: "Print and save" })
    .click();
  await page.getByRole("button", { name: "Print pen B" }).click();
  await expect(page).toHaveTitle("1");
  expect(await page.locator(".paper h1").textContent()).toBe("Pen B");
  await page.evaluate(() => dispatchEvent(new Event("afterprint")));
  await page.getByRole("button", { name: "Print pen lists" }).click();
  await expect(page).toHaveTitle("7");
});

test("pens are saved as CSV and the sort as JSON, with the day in the name", async ({
  page,
}) => {
  await openDemo(page);
  await page
    .getByRole("navigation")
    .getByRole("button", { name: "Print and save" })
    .click();
  const saved = async (button: string) => {
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: button }).click(),
    ]);
    return {
      name: download.suggestedFilename(),
      text: readFileSync(await download.path(), "utf8"),
    };
  };
  const all = await saved("Save all pens (CSV)");
  expect(all.name).toMatch(/^evenfold-pens-\d{4}-\d{2}-\d{2}\.csv$/);
  const one = await saved("Save pen B (CSV)");
  expect(one.name).toMatch(/^evenfold-pens-B-\d{4}-\d{2}-\d{2}\.csv$/);
  expect(one.text.split("\n").length).toBeLessThan(all.text.split("\n").length);
  const whole = await saved("Save the whole sort (JSON)");
  expect(whole.name).toMatch(/\.json$/);
  expect(JSON.parse(whole.text)).toHaveProperty("pens");
});
