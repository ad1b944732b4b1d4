/** Spreadsheet files in and out of the page. The file is one that the page itself has saved. */
import { readFileSync } from "node:fs";
import {
  example,
  expect,
  openDemo,
  openStart,
  sortLists,
  test,
  type Page,
} from "./support.ts";

const XLSX =
  "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";

const saved = async (page: Page, button: string) => {
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: button }).click(),
  ]);
  return {
    name: download.suggestedFilename(),
    bytes: readFileSync(await download.path()),
  };
};

/** All pens of the demo, as both kinds of file. */
const pens = async (page: Page) => {
  await openDemo(page);
  await page
    .getByRole("navigation")
    .getByRole("button", { name: "Print and save" })
    .click();
  const csv = await saved(page, "Save all pens (CSV)");
  const workbook = await saved(page, "Save all pens (XLSX)");
  return { csv, workbook };
};

/** The headline, and who stands in each pen. */
const sorted = async (page: Page) => {
  await expect(page.locator(".pen")).toHaveCount(7, { timeout: 30_000 });
  const headline = await page.locator(".result h1").textContent();
  // Pens are drawn one after the other.
  await expect(page.locator(".pens .mark")).toHaveCount(
    Number.parseInt(headline ?? "", 10),
  );
  const tags = page
    .locator(".pen")
    .evaluateAll((all) =>
      all.map((pen) =>
        [...pen.querySelectorAll(".mark")].map((mark) =>
          mark.getAttribute("data-tag"),
        ),
      ),
    );
  return {
    headline,
    pens: await tags,
  };
};

test("a flock from a spreadsheet is sorted as the same flock from CSV", async ({
  page,
}) => {
  const { csv, workbook } = await pens(page);
  expect(workbook.name).toMatch(/^evenfold-pens-\d{4}-\d{2}-\d{2}\.xlsx$/);
  expect(workbook.bytes.subarray(0, 4).toString("latin1")).toBe("PK\x03\x04");
  const flock = async (name: string, bytes: Buffer) => {
    await page.goto("about:blank");
    await sortLists(page, [
      { name, mimeType: "", buffer: bytes },
      {
        name: "pens.csv",
        mimeType: "text/csv",
        buffer: readFileSync(example("pens.csv")),
      },
    ]);
    return sorted(page);
  };
  const expected = await flock("flock.csv", csv.bytes);
  expect(expected.pens.flat().length).toBeGreaterThan(100);
  // Its content tells what it is, whatever it is called.
  expect(await flock("flock.csv", workbook.bytes)).toEqual(expected);
  expect(await flock("flock.xlsx", workbook.bytes)).toEqual(expected);
});

test("a spreadsheet is offered by the picker, and a damaged one is named with what to do", async ({
  page,
}) => {
  const { workbook } = await pens(page);
  await page.goto("about:blank");
  await openStart(page);
  const picker = page.locator("input[type=file][multiple]");
  expect(await picker.getAttribute("accept")).toContain(".xlsx");
  await picker.setInputFiles([
    {
      name: "flock.xlsx",
      mimeType: XLSX,
      buffer: workbook.bytes.subarray(0, workbook.bytes.length - 100),
    },
    {
      name: "pens.csv",
      mimeType: "text/csv",
      buffer: readFileSync(example("pens.csv")),
    },
  ]);
  await page.getByRole("button", { name: "Sort the flock" }).click();
  const stopped = page.locator(".stopped");
  await expect(stopped).toContainText("is damaged", { timeout: 30_000 });
  await expect(stopped).toContainText("save it again");
});
