/** One ewe moved by hand: by finger and by keys, with figures that the command line confirms. */
import { readFileSync } from "node:fs";
import {
  command,
  example,
  expect,
  FARM,
  hand,
  openDemo,
  openEwe,
  pickUp,
  test,
  written,
  type Page,
} from "./support.ts";

interface Scored {
  objective: number;
  limits_broken: { words: string }[];
  ewes: { tag: string; pen: string }[];
}

const evaluate = (list: string) =>
  command(
    "evaluate",
    written("pens-now.csv", list),
    "--flock",
    example("flock.csv"),
    ...FARM,
  ) as Scored;

const moved = (page: Page) =>
  page.getByRole("region", { name: "Moved by hand" });

/** All pens' lists, as the page saves them. */
async function saved(page: Page): Promise<string> {
  const tab = (name: string) =>
    page
      .getByRole("navigation", { name: "Parts of the result" })
      .getByRole("button", { name });
  await tab("Print and save").click();
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Save all pens (CSV)" }).click();
  const text = readFileSync(await (await download).path(), "utf8");
  await tab("Pens").click();
  await expect(page.locator(".pen")).toHaveCount(7);
  return text;
}

/** Where a ewe stands, by her mark. */
const penOf = (page: Page, tag: string) =>
  page
    .locator(".pen", { has: page.locator(`.mark[data-tag="${tag}"]`) })
    .locator("h3")
    .innerText();

/** What the words say that it costs. */
const cost = (words: string) => {
  const found = /(costs|saves) ([\d.]+) MJ/.exec(words);
  if (!found) return words.includes("costs nothing") ? 0 : NaN;
  return (found[1] === "saves" ? -1 : 1) * Number(found[2]);
};

test.describe("by finger", () => {
  test.use({ hasTouch: true, viewport: { width: 768, height: 1024 } });

  test("tap a ewe, tap a pen: she alone moves, at the cost that was told, and it can be taken back", async ({
    page,
  }) => {
    await openDemo(page);
    const before = evaluate(await saved(page));
    const heads = () => page.locator(".pen .told").allInnerTexts();
    const [headsBefore, quality] = [
      await heads(),
      await page.locator(".quality summary").innerText(),
    ];
    const mark = page.locator(".pen").nth(1).locator(".mark").nth(3);
    const tag = (await mark.getAttribute("data-tag")) ?? "";
    await mark.evaluate((element) =>
      element.scrollIntoView({ block: "center" }),
    );
    const box = await mark.locator(".body").boundingBox();
    if (!box) throw new Error("the mark is not on screen");
    await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2);
    await expect(hand(page)).toContainText(tag);
    // Every pen answers at once.
    await expect(page.locator(".put")).toHaveCount(7);
    await expect(page.locator(".put.here")).toHaveCount(1);
    const put = page.locator(".put:not(.here):not(.no)").first();
    const told = cost(await put.locator(".cost").innerText());
    expect(told).not.toBeNaN();
    const to = (await put.locator("button").innerText()).replace(
      "Put her in ",
      "",
    );
    await put.locator("button").tap();
    await expect(moved(page)).toContainText(tag);
    expect(cost(await moved(page).innerText())).toBe(told);
    await expect(page.locator(".by-hand")).toContainText(
      await moved(page).locator("p").innerText(),
    );
    expect((await penOf(page, tag)).toLowerCase()).toBe(to.toLowerCase());
    await expect(page.locator(`.mark[data-tag="${tag}"] .pin`)).toHaveCount(1);
    expect(await heads()).not.toEqual(headsBefore);
    expect(await page.locator(".quality summary").innerText()).not.toBe(
      quality,
    );

    // Somebody else scores the pens as they are now.
    const after = evaluate(await saved(page));
    expect(after.limits_broken).toEqual([]);
    expect((after.objective - before.objective).toFixed(1)).toBe(
      told.toFixed(1),
    );
    const elsewhere = after.ewes.filter(
      ({ pen }, at) => pen !== before.ewes[at]?.pen,
    );
    expect(elsewhere.map((ewe) => ewe.tag)).toEqual([tag]);

    await moved(page).getByRole("button", { name: "Take it back" }).tap();
    await expect(moved(page)).toHaveCount(0);
    expect(await heads()).toEqual(headsBefore);
    expect(await page.locator(".quality summary").innerText()).toBe(quality);
  });

  test("a pen that cannot take her says which limit by how much and cannot be chosen", async ({
    page,
  }) => {
    await openDemo(page);
    const list = await saved(page);
    const tag = await pickUp(page, 1, 3);
    const no = page.locator(".put.no");
    expect(await no.count()).toBeGreaterThan(0);
    for (const refused of await no.all()) {
      await expect(refused.locator("button")).toHaveCount(0);
      const words = await refused.innerText();
      const pen = /Not in pen (\w+)/.exec(words)?.[1] ?? "";
      const rows = list
        .split("\n")
        .map((row) =>
          row.split(",")[1] === tag ? row.replace(/^[^,]*/, pen) : row,
        );
      const { limits_broken: limits } = evaluate(rows.join("\n"));
      expect(limits.length).toBeGreaterThan(0);
      for (const limit of limits) expect(words).toContain(limit.words);
    }
  });

  test("a second tap puts her down", async ({ page }) => {
    await openDemo(page);
    const row = page.locator(".pen").nth(2);
    await row.getByRole("button", { name: "List the ewes of pen C" }).tap();
    const ewe = row.locator(".ewes button").nth(2);
    await ewe.tap();
    await expect(hand(page)).toBeVisible();
    await expect(ewe).toHaveAttribute("aria-pressed", "true");
    await ewe.tap();
    await expect(hand(page)).toHaveCount(0);
    await expect(page.locator(".put")).toHaveCount(0);
  });
});

test("by keys alone: Enter picks up, Enter on a pen moves, Escape puts down", async ({
  page,
}) => {
  await openDemo(page);
  const tag = await pickUp(page, 1, 3);
  await page.keyboard.press("Escape");
  await expect(hand(page)).toHaveCount(0);
  const mark = page.locator(`.mark[data-tag="${tag}"]`);
  await expect(mark).toBeFocused();
  await page.keyboard.press("Enter");
  const into = page.locator(".put button:focus");
  await expect(into).toContainText("Put her in pen");
  const to = (await into.innerText()).replace("Put her in ", "");
  await expect(page.locator("p[role=status].unseen").first()).toContainText(
    `${tag} is picked up`,
  );
  await page.keyboard.press("Enter");
  await expect(moved(page)).toContainText(tag);
  await expect(mark).toBeFocused();
  expect((await penOf(page, tag)).toLowerCase()).toBe(to.toLowerCase());
  await expect(page.locator("p[role=status].unseen").first()).toContainText(
    `${tag} is in`,
  );
});

test("a new sort keeps whom a hand has moved", async ({ page }) => {
  await openDemo(page);
  const tag = await pickUp(page, 1, 3);
  await page.locator(".put button.main").first().click();
  await expect(moved(page)).toContainText(tag);
  const pen = await penOf(page, tag);
  await page.getByRole("button", { name: "Sort the rest around them" }).click();
  await expect(moved(page)).toHaveCount(0, { timeout: 30_000 });
  expect(await penOf(page, tag)).toBe(pen);
  await expect(page.locator(`.mark[data-tag="${tag}"] .pin`)).toHaveCount(1);
});

test("whoever is looked at is no longer in hand, and the way back puts down first", async ({
  page,
}) => {
  await openDemo(page);
  await openEwe(page, 1, 3);
  await expect(page.locator(".put")).toHaveCount(0);
  await page.keyboard.press("Escape");
  await pickUp(page, 2, 1);
  await page.goBack();
  await expect(hand(page)).toHaveCount(0);
  await expect(page.locator(".pen")).toHaveCount(7);
});
