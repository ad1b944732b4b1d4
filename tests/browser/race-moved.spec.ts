/** From the race to the room of moves and back: what was moved stands in the journal, and one tap takes it back. */
import { expect, list, test } from "./support.ts";
import { beginWithPens, lines, openRace, toMore } from "./race-support.ts";

test("moves that were made are entered, seen at the race, and undone", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page, true);
  // Twenty ewes of the list, all sent into one pen against what is told: moves pay.
  for (let ewe = 0; ewe < 20; ewe++) {
    await page
      .locator("#race-tag")
      .fill(`EV${String(413 + ewe).padStart(4, "0")}`);
    await page.getByRole("button", { name: "Take it" }).click();
    await expect(page.locator(".race-name")).toBeVisible();
    await page
      .locator(".race-lambs button")
      .nth(1 + (ewe % 3))
      .click();
    await page
      .locator(".race-condition button")
      .nth(2 + (ewe % 4))
      .click();
    await page
      .locator(".race-pens button")
      .nth(ewe % 2)
      .click();
    await expect(page.locator(".race-pen.done")).toBeVisible();
  }
  await toMore(page);
  const before = (await lines(page)).length;
  await page
    .getByRole("button", { name: "Which moves pay, from where they stand" })
    .click();
  const enter = page.getByRole("button", {
    name: /^Enter \d+ moves? as made$/,
  });
  await expect(enter).toBeVisible({ timeout: 60_000 });
  const all = await page.locator(".moves-made li").count();
  expect(all).toBeGreaterThan(1);
  // One of them was not done.
  const left = page.locator(".moves-made li").last();
  const who = ((await left.textContent()) ?? "").split(" ")[1] ?? "";
  await left.getByRole("checkbox").uncheck();
  await enter.click();
  await expect(
    page.locator(".moves").getByText("are entered as moved"),
  ).toBeVisible();
  const given = (await lines(page))
    .slice(before)
    .filter(({ what }) => what.kind === "pen_given");
  expect(given.length).toBeGreaterThan(0);
  expect(given.map(({ what }) => what.ewe?.tag ?? what.ewe?.eid)).not.toContain(
    who,
  );
  // A second tap enters nothing twice.
  await enter.click();
  await expect(
    page.locator(".moves").getByText("Nothing new to enter"),
  ).toBeVisible();
  await page.goBack();
  await page.goto(`${page.url().split("#")[0]}#race`);
  await expect(page.locator(".race-bar")).toBeVisible();
  await page.getByRole("button", { name: "Back to the gate" }).click();
  await page.getByRole("button", { name: "Last acts" }).click();
  await expect(page.locator(".race-acts li").first()).toContainText(
    given.length === 1 ? "pen" : `${given.length} entries`,
  );
  await page.locator(".race-acts li button").first().click();
  await expect(page.locator(".race-acts li").first()).toContainText("undone");
  expect((await lines(page)).at(-1)?.what.kind).toBe("undone");
});

test("last year's list is taken as such: nobody on it is on record", async ({
  page,
}) => {
  await openRace(page);
  await page.getByLabel("The flock's name").fill("Home");
  const rows = Array.from(
    { length: 30 },
    (_, at) =>
      `L${at},${1 + (at % 3)},3,2020-03-${String(1 + (at % 28)).padStart(2, "0")}`,
  );
  await page
    .locator("[data-race=flock]")
    .setInputFiles(
      list("flock.csv", ["tag,litter,condition,due", ...rows].join("\n")),
    );
  await page
    .locator("[data-race=pens]")
    .setInputFiles(
      list("pens.csv", "pen,trough_m,area_m2\nA,20,50\nB,20,50\n"),
    );
  await expect(page.getByText("The flock list is")).toBeVisible();
  await page.getByRole("button", { name: "Bring them in" }).click();
  await expect(page.locator(".race-gate")).toBeVisible({ timeout: 20_000 });
  await toMore(page);
  await expect(
    page.getByText("as many as on the earlier year's list"),
  ).toBeVisible();
  await expect(page.getByText("on record not seen")).toHaveCount(0);
});
