/** From lists to pens, and whatever stands in the way. */
import {
  example,
  expect,
  list,
  openDemo,
  openEwe,
  openStart,
  sortLists,
  test,
  twins,
  twoPens,
} from "./support.ts";

test("the demo opens from its address and shows its pens", async ({ page }) => {
  await openDemo(page);
  await expect(page.locator(".result h1")).toContainText("7 pens");
  await expect(page.locator(".demo")).toContainText("Invented flock");
  const heads = await page.locator(".pen .told").allInnerTexts();
  const count = heads.reduce((sum, head) => sum + Number.parseInt(head, 10), 0);
  expect(await page.locator(".mark").count()).toBe(count);
  for (const tab of ["Ewes to look at", "Faults", "Print and save"]) {
    await page
      .getByRole("navigation")
      .getByRole("button", { name: tab })
      .click();
    await expect(page.locator(".demo")).toBeVisible();
    await expect(page.locator(".caution").first()).toBeVisible();
  }
});

test("the demo opens by its button, and its lists do not stay as if they were somebody's own", async ({
  page,
}) => {
  await openStart(page);
  await page.getByRole("button", { name: "Use the demo flock" }).click();
  await expect(page.locator(".pen")).toHaveCount(7, { timeout: 30_000 });
  await page.getByRole("button", { name: "Other lists" }).click();
  await expect(page.locator(".slots .full")).toHaveCount(0);
  await expect(page.locator(".demo")).toHaveCount(0);
});

test("own lists are sorted into their slots by name", async ({ page }) => {
  await sortLists(page, [
    example("groups.csv"),
    example("flock.csv"),
    example("pens.csv"),
  ]);
  await expect(page.locator(".pen")).toHaveCount(7);
  await expect(page.locator(".demo")).toHaveCount(0);
});

test("lists can be dropped, and one with a strange name is asked about", async ({
  page,
}) => {
  await openStart(page);
  const drop = await page.evaluateHandle(
    ([flock, pens]) => {
      const data = new DataTransfer();
      data.items.add(new File([flock ?? ""], "my flock.csv"));
      data.items.add(new File([pens ?? ""], "shed.csv"));
      return data;
    },
    [twins(() => "2027-03-05"), twoPens(3)],
  );
  await page.locator(".slots").dispatchEvent("drop", { dataTransfer: drop });
  await expect(page.locator(".slots .full")).toHaveCount(1);
  await page.getByRole("button", { name: "Sort the flock" }).click();
  await expect(page.getByText("Say first what each list is.")).toBeVisible();
  await page
    .getByRole("group", { name: "What is shed.csv?" })
    .getByRole("button", { name: "Pens list" })
    .click();
  await page.getByRole("button", { name: "Sort the flock" }).click();
  await expect(page.locator(".pen")).toHaveCount(2, { timeout: 30_000 });
});

test("the day and the period that were written are those that are fed", async ({
  page,
}) => {
  await openStart(page);
  await page.locator("input[multiple]").setInputFiles([
    list(
      "flock.csv",
      twins(() => "2027-03-25"),
    ),
    list("pens.csv", twoPens(3)),
  ]);
  await page.getByLabel("Day", { exact: true }).fill("x");
  await page.getByRole("button", { name: "Sort the flock" }).click();
  await expect(
    page.getByRole("alert").filter({ hasText: "as figures" }),
  ).toBeVisible();
  await page.getByLabel("Day", { exact: true }).fill("3");
  await page.getByLabel("Month").fill("3");
  await page.getByLabel("Days to feed for").fill("5");
  await page.getByRole("radio", { name: "Hill" }).check();
  await page.getByRole("button", { name: "Sort the flock" }).click();
  await expect(page.getByRole("slider", { name: "Day" })).toHaveAttribute(
    "aria-valuetext",
    "3 Mar",
  );
  await page.getByRole("button", { name: "Other lists" }).click();
  await expect(page.getByLabel("Month")).toHaveValue("3");
  await expect(page.getByLabel("Days to feed for")).toHaveValue("5");
  await expect(page.getByRole("radio", { name: "Hill" })).toBeChecked();
});

test("a day that no calendar has is answered in words", async ({ page }) => {
  await openStart(page);
  await page.locator("input[multiple]").setInputFiles([
    list(
      "flock.csv",
      twins(() => "2027-03-25"),
    ),
    list("pens.csv", twoPens(3)),
  ]);
  await page.getByLabel("Day", { exact: true }).fill("31");
  await page.getByRole("button", { name: "Sort the flock" }).click();
  const failed = page.locator(".failed");
  await expect(failed).toContainText("2027-02-31");
  await failed.getByRole("button", { name: "Close" }).click();
  await page.getByLabel("Day", { exact: true }).fill("1");
  await page.getByRole("button", { name: "Sort the flock" }).click();
  await expect(page.locator(".pen")).toHaveCount(2, { timeout: 30_000 });
});

test("faulty rows are listed beside the sort of the rest", async ({ page }) => {
  await sortLists(page, [
    example("wrong/flock.csv"),
    example("wrong/pens.csv"),
  ]);
  await expect(page.locator(".result h1")).toContainText("20 ewes");
  await page
    .getByRole("navigation")
    .getByRole("button", { name: /Faults/ })
    .click();
  const errors = page.locator(".faults.error li");
  expect(await errors.count()).toBeGreaterThanOrEqual(8);
  const seven = errors.filter({ hasText: "Row 5" }).first();
  await expect(seven).toContainText("Flock list");
  await expect(seven.locator("code")).toHaveText("7");
  await expect(seven.locator(".hint")).not.toBeEmpty();
});

test("pens that cannot hold the flock: by how much, what would mend it, and the way back", async ({
  page,
}) => {
  await sortLists(page, [
    list(
      "flock.csv",
      twins(() => "2027-03-05", 40),
    ),
    list("pens.csv", twoPens(2)),
  ]);
  await expect(page.locator(".stopped h1")).toContainText("m of trough");
  await expect(page.locator(".stopped .said li")).not.toHaveCount(0);
  await expect(page.locator(".caution")).toBeVisible();
  await page.getByRole("button", { name: "Change the lists" }).click();
  await expect(page.locator(".slots .full")).toHaveCount(2);
  await page
    .locator("input[data-slot=pens]")
    .setInputFiles(list("pens.csv", twoPens(12)));
  await page.getByRole("button", { name: "Sort the flock" }).click();
  await expect(page.locator(".pen")).toHaveCount(2, { timeout: 30_000 });
});

test("a question about dates is asked, and its answer sorts", async ({
  page,
}) => {
  await sortLists(page, [
    list(
      "flock.csv",
      twins(() => "03/04/2027"),
    ),
    list("pens.csv", twoPens(3)),
  ]);
  const answers = page.locator(".question button");
  await expect(answers).toHaveCount(2);
  await expect(answers.first()).toContainText("3 April 2027");
  await answers.first().click();
  await expect(page.locator(".pen")).toHaveCount(2, { timeout: 30_000 });
  await expect(page.locator(".mark").first()).toHaveAttribute(
    "aria-label",
    /3 Apr/,
  );
});

test("a list that is no list is answered in words", async ({ page }) => {
  await sortLists(page, [
    list("flock.csv", "nothing\nuseful\n"),
    list("pens.csv", twoPens(3)),
  ]);
  await expect(page.locator(".stopped h1")).not.toBeEmpty();
  await expect(page.locator(".faults li")).not.toHaveCount(0);
});

test("how near the best the sort is can be proved more closely, and left at any step", async ({
  page,
}) => {
  await openDemo(page);
  const quality = page.locator(".quality summary");
  const before = await quality.innerText();
  await quality.click();
  await page.getByRole("button", { name: "Prove it more closely" }).click();
  const progress = page.getByRole("progressbar", {
    name: "Steps of the proof",
  });
  await expect
    .poll(() => progress.evaluate((bar: HTMLProgressElement) => bar.value), {
      timeout: 30_000,
    })
    .toBeGreaterThan(2);
  // The engine answers other questions between two steps.
  await openEwe(page, 1, 3);
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "Leave it at this" }).click();
  await expect(
    page.getByRole("button", { name: "Go on proving" }),
  ).toBeVisible();
  const percent = (words: string) =>
    Number(/([\d.]+) %/.exec(words)?.[1] ?? NaN);
  expect(percent(await quality.innerText())).toBeLessThanOrEqual(
    percent(before),
  );
});
