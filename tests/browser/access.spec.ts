/** For everybody: contrast, names, sizes, narrow screens. */
import {
  AxeBuilder,
  example,
  expect,
  list,
  openDemo,
  openEwe,
  openStart,
  PAGE,
  pickUp,
  sortLists,
  test,
  twins,
  twoPens,
  type Page,
} from "./support.ts";

/** Every screen, by name. */
const SCREENS: Record<string, (page: Page) => Promise<void>> = {
  start: openStart,
  pens: openDemo,
  ewe: async (page) => {
    await openDemo(page);
    await openEwe(page, 1, 2);
  },
  hand: async (page) => {
    await openDemo(page);
    await pickUp(page, 1, 2);
  },
  moved: async (page) => {
    await openDemo(page);
    await pickUp(page, 1, 2);
    await page.locator(".put button.main").first().click();
    await expect(page.locator(".moved")).toBeVisible();
  },
  "no flock": async (page) => {
    await page.goto(`${PAGE}#regroup`);
    await expect(page.getByText("There is no flock here yet.")).toBeVisible();
  },
  "regroup, first": (page) => room(page, "Regroup"),
  regroup: async (page) => {
    await room(page, "Regroup");
    await page.getByRole("button", { name: "Use invented old pens" }).click();
    await expect(page.locator(".pay svg[role=img]")).toBeVisible({
      timeout: 30_000,
    });
  },
  "regroup, wrong list": async (page) => {
    await room(page, "Regroup");
    await page
      .locator("input[data-slot=old]")
      .setInputFiles(list("old.csv", "tag,pen\nEV0413,Q\n"));
    await expect(page.locator(".refused h2")).toBeVisible({ timeout: 30_000 });
  },
  card: async (page) => {
    await room(page, "Rule card");
    await expect(page.locator(".card-sheet")).toBeVisible({ timeout: 30_000 });
  },
  "card of questions": async (page) => {
    await room(page, "Rule card");
    await page.getByRole("radio", { name: "Three questions" }).check();
    await expect(page.locator(".card-sheet .questions")).toBeVisible({
      timeout: 30_000,
    });
    await page.getByText("Change it and try it").click();
  },
  "pen count": async (page) => {
    await room(page, "Pen count");
    await expect(page.locator(".pay svg[role=img]")).toBeVisible({
      timeout: 30_000,
    });
    await page.getByText("The chart as a table").click();
  },
  "feed plan, first": (page) => room(page, "Feed plan"),
  "feed plan": async (page) => {
    await room(page, "Feed plan");
    await page.getByRole("button", { name: "Use invented feeds" }).click();
    await expect(page.locator(".calendar")).toBeVisible({ timeout: 60_000 });
  },
  look: (page) => part(page, "Ewes to look at"),
  faults: async (page) => {
    await sortLists(page, [
      example("wrong/flock.csv"),
      example("wrong/pens.csv"),
    ]);
    await page
      .getByRole("navigation")
      .getByRole("button", { name: /Faults/ })
      .click();
  },
  out: (page) => part(page, "Print and save"),
  listed: async (page) => {
    await openDemo(page);
    await page.getByRole("button", { name: "List the ewes of pen B" }).click();
    await page.getByRole("combobox").fill("EV");
  },
  impossible: (page) =>
    sortLists(page, [
      list(
        "flock.csv",
        twins(() => "2027-03-05", 40),
      ),
      list("pens.csv", twoPens(2)),
    ]),
  question: (page) =>
    sortLists(page, [
      list(
        "flock.csv",
        twins(() => "03/04/2027"),
      ),
      list("pens.csv", twoPens(3)),
    ]),
};

async function room(page: Page, name: string): Promise<void> {
  await openDemo(page);
  await page
    .getByRole("navigation", { name: "Rooms" })
    .getByRole("button", { name })
    .click();
}

async function part(page: Page, name: string): Promise<void> {
  await openDemo(page);
  await page.getByRole("navigation").getByRole("button", { name }).click();
}

for (const [name, open] of Object.entries(SCREENS)) {
  for (const colorScheme of ["light", "dark"] as const) {
    test(`nothing stands in anybody's way: ${name}, ${colorScheme}`, async ({
      page,
    }) => {
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      await open(page);
      const found = await new AxeBuilder({ page })
        .withTags(["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"])
        .withRules(["color-contrast-enhanced"])
        .analyze();
      expect(
        found.violations.map(
          ({ id, nodes }) =>
            `${id}: ${nodes.map((node) => node.html).join(" ")}`,
        ),
      ).toEqual([]);
    });
  }

  for (const [width, height] of [
    [768, 1024],
    [1024, 768],
    [360, 800],
  ] as const) {
    test(`targets are at least 64 px: ${name}, ${width} × ${height}`, async ({
      page,
    }) => {
      await page.setViewportSize({ width, height });
      await open(page);
      const small = await page.evaluate(() => {
        const found: string[] = [];
        const targets =
          "button, summary, input:not([type=file]):not([type=radio]), textarea, label.button, .choice label, [role=option]";
        for (const target of document.querySelectorAll(targets)) {
          const { width, height } = target.getBoundingClientRect();
          if (width > 0 && (width < 63.9 || height < 63.9))
            found.push(`${target.outerHTML.slice(0, 80)} ${width} × ${height}`);
        }
        // A strip is one target: a tap opens the ewe nearest to the finger.
        for (const strip of document.querySelectorAll("#app .strip")) {
          if (
            strip.getBoundingClientRect().height < 64 &&
            strip.getBoundingClientRect().height > 0
          )
            found.push("strip");
        }
        return found;
      });
      expect(small).toEqual([]);
    });
  }

  test(`no sideways scrolling at 320 px: ${name}`, async ({ page }) => {
    await page.setViewportSize({ width: 320, height: 640 });
    await open(page);
    const { scroll, client } = await page.evaluate(() => ({
      scroll: document.documentElement.scrollWidth,
      client: document.documentElement.clientWidth,
    }));
    expect(scroll).toBeLessThanOrEqual(client);
  });
}

test("the night colours are switched by hand, against the device too", async ({
  page,
}) => {
  await page.emulateMedia({ colorScheme: "light" });
  await openStart(page);
  const paper = () =>
    page.evaluate(() => getComputedStyle(document.body).backgroundColor);
  const day = await paper();
  const night = page.getByRole("button", { name: "Night colours" });
  await night.click();
  await expect(night).toHaveAttribute("aria-pressed", "true");
  expect(await paper()).not.toBe(day);
  await night.click();
  expect(await paper()).toBe(day);
});

test("the focus is always in sight, never under a bar", async ({ page }) => {
  await openDemo(page);
  for (let presses = 0; presses < 30; presses++) {
    await page.keyboard.press("Tab");
    const hidden = await page.evaluate(() => {
      const element = document.activeElement;
      if (
        !element ||
        element === document.body ||
        element.closest(".dock, .skip")
      )
        return "";
      const box = element.getBoundingClientRect();
      const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
      const top = document.elementFromPoint(x, y);
      return top?.closest(".dock, .axis") && !top.contains(element)
        ? element.outerHTML.slice(0, 100)
        : "";
    });
    expect(hidden).toBe("");
  }
});

test("a screen reader hears what happens", async ({ page }) => {
  await openDemo(page);
  await expect(page.locator("p[role=status].unseen").first()).toContainText(
    "7 pens",
  );
});

test("the first stop of the Tab key leads past the top of the page", async ({
  page,
}) => {
  await openDemo(page);
  await page
    .locator(".result h1")
    .evaluate((title) => (title as HTMLElement).blur());
  await page.getByRole("link", { name: "Skip to the content" }).focus();
  await expect(
    page.getByRole("link", { name: "Skip to the content" }),
  ).toBeInViewport();
  await page.keyboard.press("Enter");
  await expect(page.locator("main")).toBeFocused();
  await expect(page.locator(".pen")).toHaveCount(7);
});
