/** One ewe's needs: entered by touch and by keys, refused, compared, drawn. */
import { energy, field, openAll, openNeed, protein } from "./ewe-needs.ts";
import { expect, openDemo, openEwe, openStart, test } from "./support.ts";

test.describe("by touch", () => {
  test.use({ hasTouch: true });

  test("triplets, three weeks to go, 70 kg", async ({ page }) => {
    await openStart(page);
    await page.getByRole("button", { name: "What a ewe needs" }).tap();
    await expect(page).toHaveURL(/#need$/);
    await expect(
      page.getByRole("heading", { name: "What a ewe needs", exact: true }),
    ).toBeFocused();
    await page.locator(".lambs label", { hasText: "Triplets" }).tap();
    await expect(field(page, /Live weight/)).toHaveValue("70");
    await expect(field(page, "Days to lambing")).toHaveValue("21");
    await expect(energy(page)).toHaveText("16.7");
    await expect(page.locator(".amount")).toContainText("MJ ME");
    await expect(protein(page)).toHaveText(/^\d{3}$/);
    await page.getByRole("button", { name: "Days to lambing: less" }).tap();
    await expect(field(page, "Days to lambing")).toHaveValue("20");
    await expect(energy(page)).not.toHaveText("16.7");
    await page.getByRole("button", { name: "Days to lambing: more" }).tap();
    await expect(energy(page)).toHaveText("16.7");
  });

  test("a barren ewe of 60 kg is asked for no days, and stands in no curve", async ({
    page,
  }) => {
    await openNeed(page);
    await page.locator(".lambs label", { hasText: "Barren" }).tap();
    for (let taps = 0; taps < 10; taps++)
      await page.getByRole("button", { name: "Live weight: less" }).tap();
    await expect(field(page, /Live weight/)).toHaveValue("60");
    await expect(field(page, "Days to lambing")).toHaveCount(0);
    await expect(page.locator(".curve h2")).toContainText("60.0 kg");
    const barren = Number(await energy(page).textContent());
    expect(barren).toBeGreaterThan(4);
    expect(barren).toBeLessThan(9);
    await expect(page.locator(".curves circle")).toHaveCount(0);
    await expect(
      page.getByText("Drawn for one, two and three lambs."),
    ).toBeVisible();
  });
});

test("a thin ewe lamb of 55 kg, by keys alone", async ({ page }) => {
  await openNeed(page);
  const reach = async (id: string) => {
    for (let presses = 0; presses < 60; presses++) {
      if (await page.evaluate((id) => document.activeElement?.id === id, id))
        return;
      await page.keyboard.press("Tab");
    }
    throw new Error(`${id} is not reached by the Tab key`);
  };
  await reach("need-weight");
  await page.keyboard.press("Control+a");
  await page.keyboard.type("55");
  await page.keyboard.press("Tab");
  await page.keyboard.press("Tab");
  await page.keyboard.press("ArrowLeft");
  await expect(page.getByRole("radio", { name: "1 Single" })).toBeChecked();
  const without = page.locator(".curve h2");
  await expect(without).toContainText("55.0 kg");
  const before = Number(await energy(page).textContent());
  await reach("need-condition");
  await page.keyboard.type("2");
  await page.keyboard.press("Tab");
  await page.keyboard.press("Tab");
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("ArrowLeft");
  await expect(page.getByRole("radio", { name: "Ewe lamb" })).toBeChecked();
  await expect(page.locator(".words").first()).toContainText("Condition 2.00");
  await expect(page.locator(".words").first()).toContainText("50 g a day");
  await expect
    .poll(async () => Number(await energy(page).textContent()))
    .toBeGreaterThan(before + 1);
  // Both ends of what her score may be ask for more than is safe: there is no band.
  await expect(page.locator(".amount .band")).toHaveCount(0);
  await field(page, "Condition").fill("2.75");
  await expect(page.locator(".amount .band")).toContainText(
    /\d+\.\d to \d+\.\d/,
  );
});

test("the slider asks by keys, and the last answer wins", async ({ page }) => {
  await openNeed(page);
  const slider = page.getByRole("slider");
  await slider.focus();
  for (let presses = 0; presses < 40; presses++)
    await page.keyboard.press("ArrowRight");
  await expect(field(page, "Days to lambing")).toHaveValue("61");
  await page.keyboard.press("Home");
  await expect(field(page, "Days to lambing")).toHaveValue("0");
  const last = await page.evaluate(async () => {
    await new Promise((done) => setTimeout(done, 600));
    return document.querySelector(".amount .figure")?.textContent ?? "";
  });
  await page.reload();
  await expect(page.locator(".curves")).toBeVisible({ timeout: 30_000 });
  await field(page, "Days to lambing").fill("0");
  await expect(energy(page)).toHaveText(last);
});

test("what cannot be is said beside its field; the last answer stays, grey", async ({
  page,
}) => {
  await openNeed(page);
  const before = await energy(page).textContent();
  const weight = field(page, /Live weight/);
  await weight.fill("300");
  const fault = page.locator(".stepper", { has: weight }).getByRole("alert");
  await expect(fault).toContainText("25 to 160");
  await expect(weight).toHaveAttribute("aria-invalid", "true");
  await expect(weight).toHaveAccessibleDescription(/25 to 160/);
  await expect(page.locator(".amount.stale")).toBeVisible();
  await expect(energy(page)).toHaveText(before ?? "");
  await weight.fill("heavy");
  await expect(fault).toContainText("Write a figure");
  await weight.fill("70,0");
  await expect(page.locator(".stale")).toHaveCount(0);
  await expect(page.locator(".fault")).toHaveCount(0);
  await field(page, "Condition").fill("7");
  await expect(page.getByRole("alert")).toContainText("1 to 5");
  await field(page, "Condition").fill("");
  await field(page, "Days to lambing").fill("200");
  await expect(page.getByRole("alert")).toContainText("147");
  await field(page, "Days to lambing").fill("2.5");
  await expect(page.getByRole("alert")).toContainText("whole number");
});

test("every standard side by side, each with its caveat where it is chosen", async ({
  page,
}) => {
  await openNeed(page);
  await page.locator("summary", { hasText: "Compare" }).click();
  const table = page.getByRole("table", { name: "Compare the standards" });
  await expect(table.getByRole("row")).toHaveCount(5);
  await expect(table).toContainText("AFRC (1993)");
  await expect(table.locator(".here")).toHaveCount(1);
  await page.locator("summary", { hasText: "Feeding standard" }).click();
  const choices = page.locator(".standards input");
  await expect(choices).toHaveCount(4);
  for (const choice of await choices.all())
    await expect(choice).toHaveAccessibleDescription(/\w{4}/);
  await page.locator(".standards label", { hasText: "INRA (2007)" }).click();
  await expect(page.locator(".also")).toContainText("INRA (2007)");
  await expect(page.locator(".also")).toContainText("UFL");
  await expect(table.locator(".here")).toContainText("INRA (2007)");
});

test("what is uncertain, what she eats by source, and the working", async ({
  page,
}) => {
  await openAll(page);
  const doubts = page.getByRole("table", { name: "What is uncertain" });
  expect(await doubts.getByRole("row").count()).toBeGreaterThan(4);
  await expect(doubts).toContainText("%");
  const intakes = page.getByRole("table", { name: "What she can eat" });
  expect(await intakes.getByRole("row").count()).toBeGreaterThan(4);
  await expect(intakes.locator(".bar-of")).not.toHaveCount(0);
  expect(await page.locator(".working li").count()).toBeGreaterThan(5);
  await expect(page.locator(".caution")).toContainText("vet");
});

test("the curves bear their names, her place and what she is short of", async ({
  page,
}) => {
  await openNeed(page);
  await page.locator(".lambs label", { hasText: "Triplets" }).click();
  await expect(energy(page)).toHaveText("16.7");
  const curves = page.locator(".curves");
  for (const name of ["Single", "Twins", "Triplets", "can eat", "short"])
    await expect(curves.getByText(name, { exact: true })).toBeVisible();
  await expect(curves.getByText("16.7 MJ ME")).toBeVisible();
  await expect(curves.getByText("Days to lambing")).toBeVisible();
  const dashes = await curves
    .locator("[aria-label='line'], g[stroke-dasharray]")
    .evaluateAll((lines) =>
      lines.map((line) => line.getAttribute("stroke-dasharray")),
    );
  expect(new Set(dashes).size).toBeGreaterThanOrEqual(3);
  await expect(page.locator(".curve figcaption .own").nth(1)).toContainText(
    "triplets",
  );
  expect(await curves.getAttribute("aria-label")).toContain("before lambing");
  await expect(curves.locator("style")).toHaveCount(0);
  const before = await page.locator(".curves").getAttribute("aria-label");
  await page
    .getByRole("group", { name: "Condition drawn" })
    .locator("label")
    .last()
    .click();
  expect(await page.locator(".curves").getAttribute("aria-label")).not.toBe(
    before,
  );
});

test("the curves are drawn anew for another width, and print", async ({
  page,
}) => {
  await openNeed(page);
  const wide = await page.locator(".curves").getAttribute("width");
  await page.setViewportSize({ width: 360, height: 800 });
  await expect(page.locator(".curves")).not.toHaveAttribute(
    "width",
    wide ?? "",
  );
  await page.emulateMedia({ media: "print" });
  await expect(page.locator(".curves")).toBeVisible();
  await expect(page.locator(".about")).toBeHidden();
  await expect(page.locator(".on-paper")).toContainText("70.0 kg; Twins");
  await expect(energy(page)).toBeVisible();
});

test("the device's way back leads to where the room was opened, and the pens stay", async ({
  page,
}) => {
  await openStart(page);
  const opener = page.getByRole("button", { name: "What a ewe needs" });
  await opener.click();
  await expect(page.locator(".curves")).toBeVisible({ timeout: 30_000 });
  await page.goBack();
  await expect(
    page.getByRole("heading", { name: "Sort the flock" }),
  ).toBeVisible();
  await expect(opener).toBeFocused();
  expect(page.url()).not.toContain("#need");
  await opener.click();
  await page.getByRole("button", { name: "Leave this ewe" }).click();
  await expect(
    page.getByRole("heading", { name: "Sort the flock" }),
  ).toBeVisible();
  expect(page.url()).not.toContain("#need");

  await openDemo(page);
  await openEwe(page, 1, 3);
  await page.locator(".places li:not(.here) button").first().click();
  await expect(page.locator(".places li.here")).toContainText("kept here", {
    timeout: 30_000,
  });
  await page.evaluate(() => (location.hash = "#need"));
  await expect(page.locator(".curves")).toBeVisible({ timeout: 30_000 });
  await page.goBack();
  await expect(page.locator(".pen")).toHaveCount(7);
  await expect(page.locator(".mark .pin")).toHaveCount(1);
});

test("a screen reader hears the new need", async ({ page }) => {
  await openNeed(page);
  await page.locator(".lambs label", { hasText: "Triplets" }).click();
  await expect(page.locator("p[role=status].unseen").first()).toHaveText(
    /^16\.7 MJ ME and \d+ g MP a day$/,
  );
});

test("a ewe of the flock is opened with her own figures, and the way back leads to her", async ({
  page,
}) => {
  await openDemo(page);
  const tag = await openEwe(page, 1, 3);
  const sheet = page.getByRole("complementary", { name: `Ewe ${tag}` });
  const worked = await sheet
    .locator(".working li", { hasText: "Energy that she needs" })
    .first()
    .textContent();
  await sheet.getByRole("button", { name: "See her curve" }).click();
  await expect(page).toHaveURL(/#need$/);
  await expect(page.locator(".curves")).toBeVisible();
  const shown = Number(await energy(page).textContent());
  const said = Number(/([\d.]+) MJ ME a day/.exec(worked ?? "")?.[1]);
  expect(Math.abs(shown - said)).toBeLessThan(0.06);
  await page.goBack();
  await expect(sheet).toBeVisible();
  await expect(
    sheet.getByRole("button", { name: "See her curve" }),
  ).toBeFocused();
});
