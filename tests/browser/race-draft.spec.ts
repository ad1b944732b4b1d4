/** The draft at the race: what it stands on, what a reload keeps, gates of two ways, and what comes afterwards. */
import { expect, list, test, type Page } from "./support.ts";
import {
  beginBare,
  beginWithPens,
  condition,
  eid,
  enterEwe,
  go,
  lambs,
  lines,
  openRace,
  toMore,
  wedge,
} from "./race-support.ts";

/** The pen that is told for a ewe, who is not entered. */
async function told(page: Page, tag: string, carries: number, score: number) {
  await wedge(page, tag);
  await lambs(page, carries);
  await condition(page, score);
  const box = page.locator(".race-pen");
  await expect(box.locator(".race-to")).toContainText("Pen");
  const words = await box.locator(".race-why").textContent();
  await page.getByRole("button", { name: "Clear" }).click();
  return words;
}

const ways = (page: Page, count: number) =>
  page.getByRole("button", { name: `${count} ways` }).click();

test("what the pens told stand on is said, with a list and without", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page, true);
  const box = page.locator(".race-pen");
  await expect(box).toContainText("as many as are on record");
  await toMore(page);
  await page.getByLabel("Ewes in lamb to come").fill("77");
  await page.getByLabel("Ewes in lamb to come").press("Tab");
  await page.getByRole("button", { name: "Back to the gate" }).click();
  await expect(box).toContainText("77 ewes in lamb expected, as you said");
});

test("without a list, and without a number, a pen is told and the guess is named", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  const box = page.locator(".race-pen");
  await expect(box).toContainText("guessed, nine tenths of what the pens hold");
  await enterEwe(page, eid(1), 2, 3);
  await expect(box).toContainText("goes to pen");
});

test("a page opened anew tells the same pens, from what is stored alone", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  for (let at = 0; at < 12; at++)
    await enterEwe(page, eid(10 + at), 1 + (at % 3), 2 + (at % 4) / 2);
  const asks: [number, number][] = [
    [1, 3.5],
    [2, 3],
    [3, 2],
  ];
  const before = [];
  for (const [carries, score] of asks)
    before.push(await told(page, eid(99), carries, score));
  await page.reload();
  await expect(page.locator(".race-gate")).toBeVisible({ timeout: 30_000 });
  const after = [];
  for (const [carries, score] of asks)
    after.push(await told(page, eid(99), carries, score));
  expect(after).toEqual(before);
});

test("a gate of two ways: the way stands beside the pen, and each way is divided in the evening", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  await toMore(page);
  await ways(page, 2);
  await expect(page.locator(".race-page")).toContainText("← Left: pen");
  await expect(page.locator(".race-page")).toContainText("→ Right: pen");
  await page.getByRole("button", { name: "Back to the gate" }).click();
  await expect(page.locator(".race-pens .race-way-sign")).toHaveCount(7);
  const sent = new Map<string, string>();
  for (let at = 0; at < 14; at++) {
    const tag = eid(200 + at);
    await wedge(page, tag);
    await lambs(page, 1 + (at % 3));
    await condition(page, 2 + (at % 5) / 2);
    const to = page.locator(".race-to");
    await expect(to).toContainText(/^(left|right), Pen/);
    const words = (await to.textContent()) ?? "";
    const arrow = await page.locator(".race-way b").textContent();
    expect(arrow).toBe(words.startsWith("left") ? "←" : "→");
    sent.set(tag, words.split(",")[0] ?? "");
    await go(page);
    await expect(page.locator(".race-pen.done")).toContainText(tag);
  }
  const behind = async (pen: string) =>
    (await page
      .locator(`.race-pens button[aria-label*="into pen ${pen},"]`)
      .getAttribute("aria-label")) ?? "";
  await toMore(page);
  await page
    .getByRole("button", { name: "Divide each way into its pens" })
    .click();
  await expect(
    page.getByText(/got another pen behind the same way|as well as can be/),
  ).toBeVisible();
  await page.getByRole("button", { name: "Back to the gate" }).click();
  const pens = new Map<string, string>();
  for (const { what } of await lines(page))
    if (what.kind === "pen_given" && what.ewe?.eid && what.pen)
      pens.set(what.ewe.eid, what.pen);
  expect(pens.size).toBe(14);
  for (const [tag, pen] of pens)
    expect(await behind(pen)).toContain(`${sent.get(tag)} at the gate`);
});

test("afterwards: who was not seen, and the moves from where they stand", async ({
  page,
}) => {
  test.setTimeout(120_000);
  await openRace(page);
  await beginWithPens(page, true);
  await toMore(page);
  await page.getByLabel("Day").first().fill("1");
  await page.getByLabel("Month").first().fill("2");
  await page.getByLabel("Year").first().fill("2027");
  await page.getByRole("button", { name: "Back to the gate" }).click();
  const rows = ["tag,pen"];
  for (let at = 0; at < 10; at++) {
    const tag = `EV${String(413 + at).padStart(4, "0")}`;
    await page.locator("#race-tag").fill(tag);
    await page.keyboard.press("Enter");
    await expect(page.locator(".race-name")).toContainText(tag);
    await condition(page, 3);
    await go(page);
    const done = page.locator(".race-pen.done");
    await expect(done).toContainText(tag);
    const pen = await done.locator(".race-to b").count();
    if (pen > 0)
      rows.push(`${tag},${await done.locator(".race-to b").textContent()}`);
  }
  expect(rows.length).toBeGreaterThan(5);
  await toMore(page);
  await page.getByText(/^Not seen: /).click();
  await expect(page.locator(".race-unseen li").first()).toBeVisible();
  await page
    .getByRole("button", { name: "Which moves pay, from where they stand" })
    .click();
  await expect(page.locator("main.regroup .advice")).toBeVisible({
    timeout: 60_000,
  });
  await expect(page.locator("main.regroup .from")).toContainText(
    "As they stand at the race",
  );
  await expect(page.locator("main.regroup .advice")).toContainText(
    `${rows.length - 1} ewes in`,
  );
});

test("pen lists are printed as the ewes stand, each ewe once", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  for (let at = 0; at < 5; at++)
    await enterEwe(page, eid(300 + at), 1 + (at % 3), 3);
  await toMore(page);
  await page.evaluate(() => {
    // A printer that takes what is on paper and is done.
    window.print = () => {
      dispatchEvent(new Event("beforeprint"));
      document.body.dataset.paper =
        document.getElementById("print")?.textContent ?? "";
      dispatchEvent(new Event("afterprint"));
    };
  });
  await page.getByRole("button", { name: "Print the pen lists" }).click();
  await expect
    .poll(() => page.evaluate(() => document.body.dataset.paper ?? ""))
    .toContain("As sent at the race");
  const paper = await page.evaluate(() => document.body.dataset.paper ?? "");
  for (let at = 0; at < 5; at++)
    expect(paper.split(eid(300 + at)).length, eid(300 + at)).toBe(2);
});

test("dates that could be either way round are asked about, and the answer brings them in", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  await toMore(page);
  const rows = ["tag,litter,due", "A1,2,03/04/2027", "A2,2,05/06/2027"];
  await page
    .locator("[data-race=flock]")
    .setInputFiles(list("flock.csv", rows.join("\n")));
  await page.getByRole("button", { name: "Bring them in" }).click();
  const first = page.getByRole("button", { name: /3 April 2027/ });
  await expect(first).toBeVisible();
  await expect(
    page.getByRole("button", { name: /4 March 2027/ }),
  ).toBeVisible();
  expect(
    (await lines(page)).filter(({ what }) => what.kind === "due_given"),
  ).toHaveLength(0);
  await first.click();
  await expect(page.getByText("2 ewes read.")).toBeVisible();
  await expect(first).toHaveCount(0);
  const dues = (await lines(page)).filter(
    ({ what }) => what.kind === "due_given",
  );
  expect(dues.map(({ what }) => (what as { due?: string }).due)).toEqual([
    "2027-04-03",
    "2027-06-05",
  ]);
});
