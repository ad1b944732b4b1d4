/** How many pens: every figure as the command line has it. */
import {
  command,
  example,
  expect,
  FARM,
  list,
  openDemo,
  PAGE,
  sortLists,
  test,
  twins,
  type Page,
} from "./support.ts";

interface Counted {
  headline: string;
  advice: string;
  best_pens: number | null;
  enough_pens: number | null;
  points: {
    pens: number;
    used: string[];
    words: string;
    figures: {
      objective_mj: number;
      lower_bound_mj: number;
      ewes_short: number;
    } | null;
  }[];
}

async function openRoom(page: Page): Promise<void> {
  await page
    .getByRole("navigation", { name: "Rooms" })
    .getByRole("button", { name: "Pen count" })
    .click();
  await expect(
    page.getByRole("heading", { name: "How many pens", level: 1 }),
  ).toBeVisible();
}

test("the chart, its table and its words are those of the command line", async ({
  page,
}) => {
  const truth = command("pens", example("flock.csv"), ...FARM) as Counted;
  await openDemo(page);
  await openRoom(page);
  await expect(page.locator(".advice .large")).toHaveText(truth.advice, {
    timeout: 30_000,
  });
  await expect(page.locator(".advice p").first()).toHaveText(truth.headline);
  await page.getByText("The chart as a table").click();
  const rows = page.locator(".pay table tbody tr");
  await expect(rows).toHaveCount(truth.points.length);
  for (const [at, { pens, used, figures }] of truth.points.entries()) {
    const row = rows.nth(at);
    await expect(row.locator("th")).toContainText(String(pens));
    await expect(row.locator("th")).toContainText(used.join(", "));
    await expect(row.locator("td")).toHaveText(
      figures
        ? [
            figures.objective_mj.toFixed(0),
            figures.lower_bound_mj.toFixed(0),
            String(figures.ewes_short),
          ]
        : ["–", "–", "–"],
    );
  }
  // The marked number is chosen first, and its pens are shown by their signs.
  const marked = truth.best_pens ?? truth.enough_pens ?? NaN;
  const point = truth.points.find(({ pens }) => pens === marked);
  await expect(page.locator(".choose output")).toHaveText(point?.words ?? "");
  await expect(page.locator(".used li")).toHaveCount(point?.used.length ?? NaN);
  // The demo's shed just holds its flock: its seven pens are the last that there are.
  await expect(
    page.getByRole("button", { name: "One pen more" }),
  ).toBeDisabled();
  await page.getByRole("button", { name: "One pen fewer" }).click();
  const next = truth.points.find(({ pens }) => pens === marked - 1);
  await expect(page.locator(".choose output")).toHaveText(next?.words ?? "");
  await page.getByRole("slider", { name: "Pens" }).focus();
  await page.keyboard.press("Home");
  await expect(page.locator(".choose output")).toHaveText(
    truth.points[0]?.words ?? "",
  );
  const chart = page.locator(".pay svg[role=img]");
  await chart.scrollIntoViewIfNeeded();
  const box = await chart.boundingBox();
  if (!box) throw new Error("there is no chart");
  await page.mouse.click(box.x + box.width - 4, box.y + box.height / 2);
  await expect(page.locator(".choose output")).toHaveText(
    truth.points.at(-1)?.words ?? "",
  );
});

test("of equal pens yet to be built it says what the command line says without a list of pens", async ({
  page,
}) => {
  const unbuilt = FARM.filter(
    (argument, at) => argument !== "--pens" && FARM[at - 1] !== "--pens",
  );
  const truth = command("pens", example("flock.csv"), ...unbuilt) as Counted;
  await openDemo(page);
  await openRoom(page);
  await expect(page.locator(".used li")).toHaveCount(7, { timeout: 30_000 });
  await page
    .getByRole("radio", { name: "Equal pens, yet to be built" })
    .check({ force: true });
  await expect(page.locator(".advice .large")).toHaveText(truth.advice, {
    timeout: 30_000,
  });
  await expect(page.locator(".advice p").first()).toHaveText(truth.headline);
  await page.getByRole("button", { name: "One pen more" }).click();
  const more = truth.points.find(
    ({ pens }) => pens === (truth.enough_pens ?? NaN) + 1,
  );
  await expect(page.locator(".choose output")).toHaveText(more?.words ?? "");
  // Those that do not stand have no signs; and back again nothing is reckoned anew.
  await expect(page.locator(".used li")).toHaveCount(0);
  await page
    .getByRole("radio", { name: "Those that stand" })
    .check({ force: true });
  await expect(page.locator(".used li")).toHaveCount(7);
});

test("one pen alone is one point; by its address the room says what is missing", async ({
  page,
}) => {
  await page.goto(`${PAGE}#count`);
  await expect(page.getByText("There is no flock here yet.")).toBeVisible();
  await sortLists(page, [
    list(
      "flock.csv",
      twins(() => "2027-03-05", 8),
    ),
    list("pens.csv", "pen,trough_m,area_m2\nA,8,40\n"),
  ]);
  await openRoom(page);
  await expect(page.locator(".advice .large")).not.toBeEmpty({
    timeout: 30_000,
  });
  await expect(
    page.getByRole("button", { name: "One pen more" }),
  ).toBeDisabled();
  await expect(page.locator(".used li")).toHaveCount(1);
});
