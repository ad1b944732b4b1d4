/** One ewe: found, opened, kept, let go. */
import {
  expect,
  hand,
  openDemo,
  openEwe,
  openHeld,
  openStart,
  test,
} from "./support.ts";

test("a ewe's sheet shows her working with its sources", async ({ page }) => {
  await openDemo(page);
  const tag = await openEwe(page, 1, 3);
  const sheet = page.getByRole("complementary", { name: `Ewe ${tag}` });
  await expect(sheet.locator(".reason")).not.toBeEmpty();
  expect(await sheet.locator(".facts dt").count()).toBeGreaterThan(3);
  expect(await sheet.locator(".working li").count()).toBeGreaterThan(5);
  await expect(
    sheet.locator(".working .formula dd").filter({ hasText: "=" }),
  ).not.toHaveCount(0);
  expect(await sheet.locator(".working .source dd").count()).toBeGreaterThan(3);
  await expect(sheet.locator(".places li")).toHaveCount(7);
  await expect(sheet.locator(".caution")).not.toBeEmpty();
});

test("a ewe is kept in another pen, the cost is told, and she is let go again", async ({
  page,
}) => {
  await openDemo(page);
  const quality = page.locator(".quality summary");
  const before = await page.locator(".pen .told").allInnerTexts();
  const tag = await openEwe(page, 1, 3);
  await page.locator(".places li:not(.here) button").first().click();
  const kept = page.locator(".places li.here");
  await expect(kept).toContainText("kept here by hand", { timeout: 30_000 });
  await expect(
    kept.getByRole("button", { name: "Let the sort decide" }),
  ).toBeVisible();
  await expect(page.locator(`.mark[data-tag="${tag}"] .pin`)).toHaveCount(1);
  await page.keyboard.press("Escape");
  await page
    .getByRole("navigation")
    .getByRole("button", { name: "Ewes to look at" })
    .click();
  const line = page
    .locator(".lines", { hasText: "Kept by hand" })
    .locator("li");
  await expect(line).toHaveCount(1);
  await expect(line).toContainText(tag);
  await expect(line).toContainText("MJ");
  await line.getByRole("button", { name: "Let the sort decide" }).click();
  await expect(page.getByText("No ewe is kept by hand.")).toBeVisible({
    timeout: 30_000,
  });
  await page
    .getByRole("navigation")
    .getByRole("button", { name: "Pens" })
    .click();
  await expect(page.locator(".pen")).toHaveCount(7);
  expect(await page.locator(".pen .told").allInnerTexts()).toEqual(before);
  await expect(quality).not.toBeEmpty();
});

test("Escape closes the sheet and the focus goes back to her mark", async ({
  page,
}) => {
  await openDemo(page);
  const tag = await openEwe(page, 2, 0);
  await page.keyboard.press("Escape");
  await expect(page.locator(".sheet")).toHaveCount(0);
  await expect(page.locator(`.mark[data-tag="${tag}"]`)).toBeFocused();
});

test("on a narrow screen the sheet is a view of its own with a way back", async ({
  page,
}) => {
  await page.setViewportSize({ width: 360, height: 800 });
  await openDemo(page);
  const tag = await openEwe(page, 0, 1);
  await expect(page.locator(".result")).toBeHidden();
  await page.getByRole("button", { name: "Back to the pens" }).click();
  await expect(page.locator(`.mark[data-tag="${tag}"]`)).toBeFocused();
});

test("arrow keys walk from ewe to ewe, in a strip and in her sheet", async ({
  page,
}) => {
  await openDemo(page);
  const marks = page.locator(".pen").nth(1).locator(".mark");
  await marks.first().focus();
  await page.keyboard.press("ArrowRight");
  await expect(marks.nth(1)).toBeFocused();
  await page.keyboard.press("End");
  await expect(marks.last()).toBeFocused();
  await page.keyboard.press("Home");
  await expect(marks.first()).toBeFocused();
  await expect(
    page.locator('.pen >> nth=1 >> .mark[tabindex="0"]'),
  ).toHaveCount(1);
  await page.keyboard.press("Enter");
  await openHeld(page, (await marks.first().getAttribute("data-tag")) ?? "");
  await page.getByRole("button", { name: "Ewe after" }).click();
  const second = (await marks.nth(1).getAttribute("data-tag")) ?? "";
  await expect(
    page.getByRole("heading", { name: `Ewe ${second}` }),
  ).toBeFocused();
});

test("a tap on a strip picks up the ewe under the finger, and her sheet is a tap away", async ({
  page,
}) => {
  await openDemo(page);
  const mark = page.locator(".pen").nth(0).locator(".mark").nth(4);
  await mark.evaluate((element) => element.scrollIntoView({ block: "center" }));
  const box = (await mark.locator(".body").boundingBox()) ?? {
    x: 0,
    y: 0,
    width: 0,
    height: 0,
  };
  await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
  const tag = (await mark.getAttribute("data-tag")) ?? "";
  await expect(hand(page)).toContainText(tag);
  await openHeld(page, tag);
});

test("a pen's ewes can all be listed as full-size buttons", async ({
  page,
}) => {
  await openDemo(page);
  const pen = page.locator(".pen").nth(1);
  await pen.getByRole("button", { name: "List the ewes of pen B" }).click();
  expect(await pen.locator(".ewes button").count()).toBe(
    await pen.locator(".mark").count(),
  );
  const first = pen.locator(".ewes button").first();
  await first.click();
  await openHeld(page, await first.locator("b").innerText());
  await expect(page.locator(".sheet")).toBeVisible();
});

test("a ewe is found by part of her tag, by keys alone", async ({ page }) => {
  await openDemo(page);
  const tag =
    (await page
      .locator(".pen")
      .nth(3)
      .locator(".mark")
      .nth(2)
      .getAttribute("data-tag")) ?? "";
  const field = page.getByRole("combobox", { name: "Find a tag" });
  await field.fill(tag.slice(-2).toLowerCase());
  expect(await page.getByRole("option").count()).toBeGreaterThan(0);
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("ArrowUp");
  await field.fill(tag.toLowerCase());
  await page.keyboard.press("Enter");
  await expect(page.getByRole("heading", { name: `Ewe ${tag}` })).toBeFocused();
  await page.keyboard.press("Escape");
  await expect(field).toBeFocused();
  await field.fill("no such tag");
  await expect(
    page.getByText("No ewe in the pens has this tag."),
  ).toBeVisible();
});

test("the day moves marks and rations", async ({ page }) => {
  await openDemo(page);
  const words = page.locator(".pen").nth(3).locator(".post text");
  const first = await words.textContent();
  const slider = page.getByRole("slider", { name: "Day" });
  const day = await slider.getAttribute("aria-valuetext");
  await page.getByRole("button", { name: "Day after" }).click();
  await expect(slider).not.toHaveAttribute("aria-valuetext", day ?? "");
  await slider.focus();
  await page.keyboard.press("End");
  await expect(page.getByRole("button", { name: "Day after" })).toBeDisabled();
  await expect(words).not.toHaveText(first ?? "");
  await page.keyboard.press("Home");
  await expect(words).toHaveText(first ?? "");
});

test("from the first screen to a kept ewe without a pointer", async ({
  page,
}) => {
  await openDemo(page);
  await page.getByRole("button", { name: "Other lists" }).focus();
  await page.keyboard.press("Enter");
  const reach = async (found: () => Promise<boolean>) => {
    for (let presses = 0; presses < 80; presses++) {
      if (await found()) return;
      await page.keyboard.press("Tab");
    }
    throw new Error("not reached by the Tab key");
  };
  const focused = (words: string) => async () =>
    (
      await page.evaluate(
        () => document.activeElement?.closest("button")?.textContent ?? "",
      )
    ).includes(words);
  await reach(focused("Use the demo flock"));
  await page.keyboard.press("Enter");
  await expect(page.locator(".result h1")).toBeFocused({ timeout: 30_000 });
  await reach(() =>
    page.evaluate(
      () => document.activeElement?.classList.contains("mark") ?? false,
    ),
  );
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Enter");
  await expect(hand(page)).toBeVisible();
  await reach(focused("All about her"));
  await page.keyboard.press("Enter");
  await expect(page.locator(".sheet h2")).toBeFocused();
  await reach(focused("Keep her here"));
  await page.keyboard.press("Enter");
  await expect(
    page.locator(".places").getByText("kept here by hand"),
  ).toBeVisible({ timeout: 30_000 });
});

test("the device's way back leads from the sheet to the pens and from there to the lists", async ({
  page,
}) => {
  await openStart(page);
  await page.getByRole("button", { name: "Use the demo flock" }).click();
  await expect(page.locator(".pen")).toHaveCount(7, { timeout: 30_000 });
  await openEwe(page, 0, 0);
  await page.goBack();
  await expect(page.locator(".sheet")).toHaveCount(0);
  await expect(page.locator(".pen")).toHaveCount(7);
  await page.goBack();
  await expect(
    page.getByRole("heading", { name: "Sort the flock" }),
  ).toBeVisible();
});

test("a long list shows its worst first and all when asked", async ({
  page,
}) => {
  await openDemo(page);
  await page
    .getByRole("navigation")
    .getByRole("button", { name: "Ewes to look at" })
    .click();
  const list = page.locator(".lines", { hasText: "Fit badly" });
  await expect(list.locator("li")).toHaveCount(6);
  await list.getByRole("button", { name: "Show all" }).click();
  expect(await list.locator("li").count()).toBeGreaterThan(6);
  await list.locator("li button").first().click();
  await expect(page.locator(".sheet")).toBeVisible();
});
