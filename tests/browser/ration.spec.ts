/** One ration: as the command line has it, also where something is tried. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import {
  AxeBuilder,
  command,
  expect,
  list,
  openStart,
  PAGE,
  PICTURES,
  test,
  type Page,
} from "./support.ts";

const FEEDS = join(import.meta.dirname, "../../data/demo/feeds.csv");

interface Ration {
  status: string;
  feeds: { feed: string; kg_fresh: number }[];
}

const ration = (...words: string[]) =>
  command(
    "ration",
    "--weight",
    "70",
    "--litter",
    "2",
    "--weeks-to-lambing",
    "3",
    "--feeds",
    FEEDS,
    ...words,
  ) as Ration;

async function openRoom(page: Page): Promise<void> {
  await openStart(page);
  await page.getByRole("button", { name: "What to feed" }).click();
  await page.getByRole("button", { name: "Use invented feeds" }).click();
  await expect(page.locator(".fed")).toBeVisible({ timeout: 30_000 });
}

const shown = (page: Page) => page.locator(".parts b");

test("it is the command line's ration, also where a price, a silage or a feed is another", async ({
  page,
}) => {
  await openRoom(page);
  const names = (of: Ration) => of.feeds.map(({ feed }) => feed);
  await expect(shown(page)).toHaveText(names(ration()));
  const headline = page.locator(".fed .large");
  const first = await headline.textContent();
  await page.getByLabel("Price of Barley grain").fill("350");
  await expect(headline).not.toHaveText(first ?? "");
  await expect(shown(page)).toHaveText(
    names(ration("--price", "Barley grain=350")),
  );
  await page.getByLabel("Energy of first cut").fill("9.5");
  await expect(shown(page)).toHaveText(
    names(ration("--price", "Barley grain=350", "--energy", "first cut=9.5")),
  );
  await page.getByRole("button", { name: "All as the list has it" }).click();
  await expect(headline).toHaveText(first ?? "");
  const [straight] = names(ration()).slice(1);
  await page.getByRole("checkbox", { name: straight ?? "" }).uncheck();
  await expect(shown(page)).toHaveText(
    names(ration("--without", straight ?? "")),
  );
});

test("triplets near lambing, then no silage: what is short is said with its ways out", async ({
  page,
}) => {
  await openRoom(page);
  await page.getByRole("radio", { name: "Triplets" }).check();
  await page.getByLabel("Weeks to lambing").fill("1");
  await expect(page.locator(".fed, .refused")).toBeVisible();
  for (const forage of ["first cut", "Hay, average", "Barley straw (spring)"])
    await page.getByRole("checkbox", { name: forage }).uncheck();
  await expect(page.locator(".refused")).toContainText("forage");
  await expect(page.locator(".refused")).toContainText("Ways out");
});

test("a list that cannot be read says what to do; the room is reached by its address", async ({
  page,
}) => {
  await page.goto(`${PAGE}#ration`);
  const slot = page.locator("input[data-slot=feeds]");
  await slot.setInputFiles(
    list("feeds.csv", "feed,price_per_t\nmoon dust,1\n"),
  );
  await expect(page.locator(".refused")).toContainText("moon dust", {
    timeout: 30_000,
  });
  await slot.setInputFiles(list("feeds.csv", readFileSync(FEEDS, "utf8")));
  await expect(page.locator(".fed")).toBeVisible({ timeout: 30_000 });
});

for (const [name, width, height] of [
  ["tall", 768, 1024],
  ["wide", 1024, 768],
  ["slim", 360, 800],
] as const)
  test(`@pictures ration ${name}`, async ({ page }) => {
    await page.setViewportSize({ width, height });
    await openRoom(page);
    await page.screenshot({ path: join(PICTURES, `ration-${name}.png`) });
    const over = await page.evaluate(
      () =>
        document.documentElement.scrollWidth -
        document.documentElement.clientWidth,
    );
    expect(over).toBeLessThanOrEqual(0);
    const { violations } = await new AxeBuilder({ page }).analyze();
    expect(violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
  });
