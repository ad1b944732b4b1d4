/** The feeding plan: every figure as the command line has it; wishes, refusals, papers. */
import { readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import {
  command,
  example,
  expect,
  FARM,
  list,
  openDemo,
  PAGE,
  PICTURES,
  test,
  type Page,
} from "./support.ts";

const FEEDS = join(import.meta.dirname, "../../data/demo/feeds.csv");

interface Planned {
  status: string;
  pens: {
    pen: string;
    weeks: {
      status: string;
      concentrate_kg_fresh: number;
      feeds: { feed: string; kg_fresh: number }[];
    }[];
  }[];
  loads: { week: number; pen: string; parts: { feed: string }[] }[];
  feeds: { feed: string; words: string }[];
}

const plan = (...words: string[]) =>
  command(
    "plan",
    example("flock.csv"),
    ...FARM,
    "--feeds",
    FEEDS,
    ...words,
  ) as Planned;

async function openRoom(page: Page): Promise<void> {
  await openDemo(page);
  await page
    .getByRole("navigation", { name: "Rooms" })
    .getByRole("button", { name: "Feed plan" })
    .click();
  await expect(
    page.getByRole("heading", { name: "Feed plan", level: 1 }),
  ).toBeVisible();
}

async function planned(page: Page): Promise<void> {
  await openRoom(page);
  await page.getByRole("button", { name: "Use invented feeds" }).click();
  await expect(page.locator(".calendar")).toBeVisible({ timeout: 60_000 });
}

async function same(page: Page, truth: Planned): Promise<void> {
  const rows = page.locator(".calendar .scroll tbody tr");
  await expect(rows).toHaveCount(truth.pens.length);
  for (const [at, pen] of truth.pens.entries()) {
    const cells = rows.nth(at).locator(".cell");
    await expect(cells).toHaveCount(pen.weeks.length);
    const shown = await cells.locator("b").allTextContents();
    pen.weeks.forEach((week, column) => {
      if (week.status === "impossible") return;
      const kg = week.concentrate_kg_fresh;
      expect(shown[column], `pen ${pen.pen}, week ${column + 1}`).toContain(
        kg < 0.0005
          ? "none"
          : kg < 0.0995
            ? `${(1000 * kg).toFixed(0)} g`
            : String(Number(kg.toFixed(2))),
      );
    });
  }
}

test("calendar, ration, loads and stores are those of the command line", async ({
  page,
}) => {
  test.setTimeout(120_000);
  const truth = plan();
  await planned(page);
  await same(page, truth);
  const cell = page
    .locator(".calendar .scroll tbody tr")
    .first()
    .locator(".cell")
    .first();
  await cell.click();
  await expect(cell).toHaveAttribute("aria-pressed", "true");
  const feeds = truth.pens[0]?.weeks[0]?.feeds ?? [];
  await expect(page.locator(".ration .feeds tbody th")).toHaveText(
    feeds.map(({ feed }) => feed),
  );
  const loads = (week: number) =>
    truth.loads.filter((load) => load.week === week);
  await expect(page.locator(".loads > ol > li")).toHaveCount(loads(1).length);
  await page.getByRole("button", { name: "Week after" }).click();
  await expect(page.locator(".loads > ol > li")).toHaveCount(loads(2).length);
  for (const [at, load] of loads(2).entries()) {
    const shown = page.locator(".loads > ol > li").nth(at);
    await expect(shown.locator("h3")).toContainText(load.pen);
    await expect(shown.locator("ol b")).toHaveText(
      load.parts.map(({ feed }) => feed),
    );
  }
  await expect(page.locator(".stores > ul > li > p")).toHaveText(
    truth.feeds.map(({ words }) => words),
  );
});

test("another way of feeding is another plan, and one recipe is told", async ({
  page,
}) => {
  test.setTimeout(120_000);
  await planned(page);
  const before = await page.locator(".advice .large").textContent();
  await page.getByText("How you feed:").click();
  await page.getByRole("radio", { name: "Hay and nuts" }).check();
  await expect(page.locator(".advice .large")).not.toHaveText(before ?? "", {
    timeout: 60_000,
  });
  await same(page, plan("--way", "nuts"));
  await page.getByRole("radio", { name: "Forage, concentrate apart" }).check();
  await expect(page.locator(".advice .large")).toHaveText(before ?? "", {
    timeout: 60_000,
  });
});

test("a list of feeds that cannot be read says by row what to do", async ({
  page,
}) => {
  await openRoom(page);
  await page
    .locator("input[data-slot=feeds]")
    .setInputFiles(list("feeds.csv", "feed,price_per_t\nno such feed,12\n"));
  await expect(page.locator(".refused")).toContainText("no such feed", {
    timeout: 60_000,
  });
  await page
    .locator("input[data-slot=feeds]")
    .setInputFiles(list("feeds.csv", readFileSync(FEEDS, "utf8")));
  await expect(page.locator(".calendar")).toBeVisible({ timeout: 60_000 });
  await expect(page.locator(".refused")).toHaveCount(0);
});

test("by its address the room says what is missing", async ({ page }) => {
  await page.goto(`${PAGE}#plan`);
  await expect(page.getByText("There is no flock here yet.")).toBeVisible();
});

test("load sheets print, a page a week, and are saved for a spreadsheet", async ({
  page,
}) => {
  test.setTimeout(120_000);
  await planned(page);
  const weeks = await page.locator(".calendar .scroll thead th").count();
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save the load sheet (CSV)" }).click(),
  ]);
  expect(download.suggestedFilename()).toMatch(/^evenfold-loads-.*\.csv$/);
  const saved = readFileSync(await download.path(), "utf8");
  expect(saved.split("\n")[0]).toContain("kg_a_load");
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  await page.emulateMedia({ media: "print" });
  await expect(page.locator(".load-paper")).toHaveCount(weeks - 1);
  const stores = await page.locator(".stores > ul > li > p").allTextContents();
  await expect(page.locator(".order-paper li > p:first-of-type")).toHaveText(
    stores,
  );
  await page.evaluate(() => dispatchEvent(new Event("afterprint")));
  const path = join(PICTURES, "load-sheets.pdf");
  await page.pdf({ path, preferCSSPageSize: true });
  expect(statSync(path).size).toBeGreaterThan(10_000);
});

for (const [name, width, height] of [
  ["tall", 768, 1024],
  ["wide", 1024, 768],
  ["slim", 360, 800],
] as const) {
  for (const colorScheme of ["light", "dark"] as const)
    test(`@pictures plan ${name} ${colorScheme}`, async ({ page }) => {
      await page.setViewportSize({ width, height });
      await page.emulateMedia({ colorScheme });
      await planned(page);
      await page.screenshot({
        path: join(PICTURES, `plan-${name}-${colorScheme}.png`),
        fullPage: true,
      });
      const over = await page.evaluate(
        () =>
          document.documentElement.scrollWidth -
          document.documentElement.clientWidth,
      );
      expect(over).toBeLessThanOrEqual(0);
    });
}
