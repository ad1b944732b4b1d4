/** Rule cards: what stands on them is what the command line says, on screen and on paper. */
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
  twoPens,
  type Locator,
  type Page,
} from "./support.ts";

interface Card {
  text: string;
  card: { misfit_mj: number };
  optimum: { misfit_mj: number };
  one_ration_mj: number;
  out_of_sample: { card_share_percent: number };
  problems: { message: string }[];
}

const truth = (...more: string[]) =>
  command("card", example("flock.csv"), ...FARM, ...more) as Card;

async function openRoom(page: Page): Promise<Locator> {
  await openDemo(page);
  await page
    .getByRole("navigation", { name: "Rooms" })
    .getByRole("button", { name: "Rule card" })
    .click();
  const sheet = page.locator("main .card-sheet");
  await expect(sheet).toBeVisible({ timeout: 30_000 });
  return sheet;
}

/** The lines of a card's written form that begin with a word, what they ask for and what follows. */
const lines = (text: string, word: string) =>
  [...text.matchAll(new RegExp(`^${word} (.+): (.+)$`, "gm"))].map(
    ([, of = "", then = ""]) => [of, then] as const,
  );

test("the points card shows every point, every total and how good it is", async ({
  page,
}) => {
  const card = truth();
  const sheet = await openRoom(page);
  for (const [title, word] of [
    ["Lambs", "lambs"],
    ["Condition", "condition"],
    ["Due", "due"],
  ] as const) {
    const table = sheet.getByRole("table").filter({ hasText: title });
    const points = lines(card.text, word).map(
      ([, then]) => then.split(" ")[0] ?? "",
    );
    expect(points.length).toBeGreaterThan(1);
    await expect(table.locator("td")).toHaveText(points);
  }
  const totals = lines(card.text, "total");
  await expect(sheet.locator(".totals b")).toHaveText(
    totals.map(([, pen]) => `pen ${pen}`),
  );
  const labels = await sheet.locator(".totals li > span").allInnerTexts();
  totals.forEach(([of], at) =>
    expect(labels[at]?.replace(/ points?/, "")).toBe(of),
  );
  // The share of the gain, from the three misfits.
  const gain =
    (card.one_ration_mj - card.card.misfit_mj) /
    (card.one_ration_mj - card.optimum.misfit_mj);
  const share = sheet.locator(".share dd b");
  await expect(share.first()).toHaveText(`${(100 * gain).toFixed(0)} %`);
  await expect(share.nth(1)).toHaveText(
    `${card.out_of_sample.card_share_percent.toFixed(0)} %`,
  );
  await expect(sheet.locator("footer")).toContainText("vet");
  await expect(sheet).toContainText("Invented flock");
});

test("the three questions lead where the command line has them lead", async ({
  page,
}) => {
  const card = truth("--kind", "tree");
  const sheet = await openRoom(page);
  await page.getByRole("radio", { name: "Three questions" }).check();
  const questions = sheet.locator(".questions li");
  await expect(questions.first()).toBeVisible({ timeout: 30_000 });
  const asked = [
    ...card.text.matchAll(
      /^question (\d)[^\n]*?yes:? ([^,;\n]+)[,;] no:? (.+)$/gm,
    ),
  ];
  expect(asked.length).toBeGreaterThan(0);
  await expect(questions).toHaveCount(asked.length);
  for (const [at, [, , yes = "", no = ""]] of asked.entries()) {
    await expect(questions.nth(at).locator(".yes b")).toContainText(yes.trim());
    await expect(questions.nth(at).locator(".no b")).toContainText(no.trim());
  }
});

test("a card that was changed is tried as written, and a wrong one is told line by line", async ({
  page,
}) => {
  const sheet = await openRoom(page);
  const before = await sheet.locator(".share dd b").first().innerText();
  await page.getByText("Change it and try it").click();
  const text = page.getByLabel("The card, written");
  const card = await text.inputValue();
  await text.fill(card.replace(/^lambs 1: .*$/m, "lambs 1: 30 points"));
  await page.getByRole("button", { name: "Try it as written" }).click();
  await expect(sheet.locator("h2")).toContainText("tried", { timeout: 30_000 });
  expect(await sheet.locator(".share dd b").first().innerText()).not.toBe(
    before,
  );
  await text.fill("no card at all");
  await page.getByRole("button", { name: "Try it as written" }).click();
  await expect(page.locator(".refused h2")).toContainText("There is no card", {
    timeout: 30_000,
  });
  await expect(page.locator(".faults.error li")).not.toHaveCount(0);
  await page
    .getByRole("button", { name: "Back to the card that was found" })
    .click();
  await expect(sheet.locator(".share dd b").first()).toHaveText(before);
});

for (const [paper, width, height] of [
  ["A4", 595, 842],
  ["A5", 420, 595],
] as const) {
  test(`the card prints on one sheet of ${paper}, black on white, at night too`, async ({
    page,
  }) => {
    await page.emulateMedia({ colorScheme: "dark" });
    await openRoom(page);
    await page.getByRole("radio", { name: paper }).check();
    const pdf = (
      await page.pdf({ preferCSSPageSize: true, printBackground: true })
    ).toString("latin1");
    expect(/\/Count (\d+)/.exec(pdf)?.[1]).toBe("1");
    const box = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf);
    expect(Math.abs(Number(box?.[1]) - width)).toBeLessThan(2);
    expect(Math.abs(Number(box?.[2]) - height)).toBeLessThan(2);
    await page.emulateMedia({ media: "print", colorScheme: "dark" });
    await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
    const sheet = page.locator("#print .card-sheet");
    await expect(sheet).toBeVisible();
    await expect(page.locator("#app")).toBeHidden();
    expect(
      await sheet.evaluate((element) => {
        const { color, backgroundColor } = getComputedStyle(element);
        return [color, backgroundColor];
      }),
    ).toEqual(["rgb(0, 0, 0)", "rgb(255, 255, 255)"]);
  });
}

test("leaving the room leaves off the search, and the pens are there still", async ({
  page,
}) => {
  await openDemo(page);
  const rooms = page.getByRole("navigation", { name: "Rooms" });
  await rooms.getByRole("button", { name: "Rule card" }).click();
  await expect(page.locator(".state.busy")).toContainText("card");
  await rooms.getByRole("button", { name: "The sort" }).click();
  await expect(page.locator(".state.busy")).toHaveCount(0);
  // The sort's own engine was not touched: it answers of the same sort.
  const mark = page.locator(".pen").nth(1).locator(".mark").first();
  await mark.focus();
  await page.keyboard.press("Enter");
  await expect(page.locator(".put")).toHaveCount(7);
  await page.keyboard.press("Escape");
  await rooms.getByRole("button", { name: "Rule card" }).click();
  await expect(page.locator("main .card-sheet")).toBeVisible({
    timeout: 30_000,
  });
});

test("other lists have another card; without lists the room says what is missing", async ({
  page,
}) => {
  await page.goto(`${PAGE}#card`);
  await expect(page.getByText("There is no flock here yet.")).toBeVisible();
  await page.getByRole("button", { name: "Choose lists" }).click();
  await expect(
    page.getByRole("heading", { name: "Sort the flock" }),
  ).toBeVisible();
  await sortLists(page, [
    list(
      "flock.csv",
      twins((at) => `2027-03-${String(5 + at).padStart(2, "0")}`, 16),
    ),
    list("pens.csv", twoPens(6)),
  ]);
  await page
    .getByRole("navigation", { name: "Rooms" })
    .getByRole("button", { name: "Rule card" })
    .click();
  await expect(page.locator("main .card-sheet header")).toContainText(
    "16 ewes in 2 pens",
    { timeout: 30_000 },
  );
});
