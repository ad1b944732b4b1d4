/** Regrouping: the curve, its points and the moves, as the command line has them. */
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
  written,
  type Page,
} from "./support.ts";

interface Regrouped {
  advice: string;
  best_moves: number;
  listed_moves: number;
  old_objective_mj: number;
  curve: { moves: number; objective_mj: number; move_cost_mj: number }[];
  moves: { words: string }[];
  problems: { severity: string; message: string }[];
}

/** Old pens that somebody filled by tag, a pen after another, as full as the first sort had them. */
function oldPens(): string {
  const { ewes } = command("sort", example("flock.csv"), ...FARM) as {
    ewes: { tag: string; pen: string; kind: number }[];
  };
  // Ewes of a kind change places, one in four, so that every pen keeps its head.
  const old = ewes.map(({ pen }) => pen);
  for (let at = 0; at + 4 < ewes.length; at += 4) {
    const [one, other] = [ewes[at], ewes[at + 3]];
    if (one && other && one.kind === other.kind)
      [old[at], old[at + 3]] = [other.pen, one.pen];
  }
  return ["tag,pen", ...ewes.map(({ tag }, at) => `${tag},${old[at]}`)].join(
    "\n",
  );
}

const regroup = (old: string, ...more: string[]) =>
  command(
    "regroup",
    written("old.csv", old),
    "--flock",
    example("flock.csv"),
    ...FARM,
    ...more,
  ) as Regrouped;

async function openRoom(page: Page): Promise<void> {
  await page
    .getByRole("navigation", { name: "Rooms" })
    .getByRole("button", { name: "Regroup" })
    .click();
  await expect(page.getByRole("heading", { name: "Regroup" })).toBeFocused();
}

const give = (page: Page, text: string) =>
  page.locator("input[data-slot=old]").setInputFiles(list("old.csv", text));

const moves = (page: Page) => page.locator(".moves li");

test("the curve, its best point and the moves are those of the command line, at every point", async ({
  page,
}) => {
  const old = oldPens();
  const truth = regroup(old);
  expect(truth.curve.length).toBeGreaterThan(3);
  await openDemo(page);
  await openRoom(page);
  await give(page, old);
  await expect(page.locator(".advice .large")).toHaveText(truth.advice, {
    timeout: 30_000,
  });
  await expect(page.locator(".advice")).toContainText(
    truth.old_objective_mj.toFixed(1),
  );
  await expect(moves(page)).toHaveText(truth.moves.map(({ words }) => words));

  // The table holds what the line is drawn from.
  await page.getByText("The curve as a table").click();
  const rows = page.locator(".pay table tbody tr");
  for (const row of await rows.all()) {
    const [name, left] = [
      await row.locator("th").innerText(),
      await row.locator("td").first().innerText(),
    ];
    const point = truth.curve.find(
      (one) => one.moves === Number.parseInt(name, 10),
    );
    expect(left).toBe(point?.objective_mj.toFixed(1));
  }
  const best = page.locator(".pay table tr", { hasText: "pays best" });
  await expect(best.locator("th")).toContainText(String(truth.best_moves));

  // The slider has as many places as the curve has points; the buttons go one by one.
  const slider = page.getByRole("slider", { name: "Moves" });
  await expect(slider).toHaveAttribute("max", String(truth.curve.length - 1));
  await slider.focus();
  await page.keyboard.press("Home");
  await expect(
    page.getByRole("button", { name: "Fewer moves" }),
  ).toBeDisabled();
  const at = (moved: number | undefined) =>
    regroup(old, "--moves", String(moved)).moves.map(({ words }) => words);
  await expect(moves(page)).toHaveText(at(truth.curve[0]?.moves));
  await page.getByRole("button", { name: "More moves" }).click();
  await expect(moves(page)).toHaveText(at(truth.curve[1]?.moves));

  // A tap on the chart chooses the point under the finger: here its right end.
  const chart = page.locator(".pay svg[role=img]");
  await chart.scrollIntoViewIfNeeded();
  const box = await chart.boundingBox();
  if (!box) throw new Error("there is no chart");
  await page.mouse.click(box.x + box.width - 4, box.y + box.height / 2);
  await expect(moves(page)).toHaveText(at(truth.curve.at(-1)?.moves));
  await page.getByRole("button", { name: "Go to what pays best" }).click();
  await expect(moves(page)).toHaveText(truth.moves.map(({ words }) => words));
});

test("the demo's old pens are invented and say so; nobody else is offered them", async ({
  page,
}) => {
  await openDemo(page);
  await openRoom(page);
  await page.getByRole("button", { name: "Use invented old pens" }).click();
  await expect(page.locator(".from")).toContainText("Invented", {
    timeout: 30_000,
  });
  await expect(page.locator(".advice .large")).not.toBeEmpty();
  // The room keeps what it found while its person looks at the pens.
  await page
    .getByRole("navigation", { name: "Rooms" })
    .getByRole("button", { name: "The sort" })
    .click();
  await expect(page.locator(".pen")).toHaveCount(7);
  await openRoom(page);
  await expect(page.locator(".advice .large")).not.toBeEmpty();
  await sortLists(page, [
    example("flock.csv"),
    example("pens.csv"),
    example("groups.csv"),
  ]);
  await openRoom(page);
  await expect(page.locator(".advice")).toHaveCount(0);
  await expect(
    page.getByRole("button", { name: "Use invented old pens" }),
  ).toHaveCount(0);
});

test("a list that is wrong is told row by row, as the command line tells it, and can be mended", async ({
  page,
}) => {
  const old = oldPens();
  await openDemo(page);
  await openRoom(page);
  await give(page, "nothing\nuseful\n");
  await expect(page.locator(".refused h2")).toContainText("No moves", {
    timeout: 30_000,
  });
  await expect(page.locator(".faults.error li")).not.toHaveCount(0);

  // A strange tag and a pen that is not there: the rest is taken, and both are named.
  const rows = old.split("\n");
  rows[3] = (rows[3] ?? "").replace(/,.*/, ",Q");
  rows.push("NOBODY,A");
  await give(page, rows.join("\n"));
  await expect(page.locator(".advice .large")).not.toBeEmpty({
    timeout: 30_000,
  });
  await page.locator(".remarks summary").click();
  const told = regroup(rows.join("\n")).problems.filter(
    ({ severity }) => severity === "error",
  );
  expect(told.length).toBeGreaterThan(1);
  for (const { message } of told)
    await expect(page.locator(".remarks")).toContainText(message);
  await give(page, old);
  await expect(page.locator(".remarks")).not.toContainText("NOBODY");
});

test("the moves print with a box for each", async ({ page }) => {
  await openDemo(page);
  await openRoom(page);
  await page.getByRole("button", { name: "Use invented old pens" }).click();
  await expect(page.locator(".advice .large")).not.toBeEmpty({
    timeout: 30_000,
  });
  const words = await moves(page).allInnerTexts();
  expect(words.length).toBeGreaterThan(0);
  await page.emulateMedia({ media: "print" });
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  const lines = page.locator("#print .moves-paper li");
  await expect(lines).toHaveText(words);
  await expect(lines.locator("i")).toHaveCount(words.length);
  await expect(page.locator("#print")).toContainText("Invented flock");
  await expect(page.locator("#app")).toBeHidden();
});

test("the room opened by its address says what is missing and offers the demo", async ({
  page,
}) => {
  await page.goto(`${PAGE}#regroup`);
  await expect(page.getByText("There is no flock here yet.")).toBeVisible();
  await page.getByRole("button", { name: "Use the demo flock" }).click();
  await expect(
    page.getByRole("button", { name: "Use invented old pens" }),
  ).toBeVisible({ timeout: 30_000 });
  await page.goBack();
  await expect(page.locator(".pen")).toHaveCount(7);
});
