/** What all browser tests share: the built page by its file:// address, the example lists, and a watch on requests. */
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { expect, test as base, type Page } from "../../www/harness.ts";

export {
  AxeBuilder,
  expect,
  type Locator,
  type Page,
} from "../../www/harness.ts";

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, "../..");

/** The built page. */
export const BUILT = join(root, "www/dist/evenfold.html");

/** Its address. */
export const PAGE = pathToFileURL(BUILT).href;

/** Where pictures go; git ignores it. */
export const PICTURES = join(here, "results");

/** An example list. */
export const example = (name: string) => join(root, "data/example", name);

/** A list that stands in the test itself. */
export const list = (name: string, text: string) => ({
  name,
  mimeType: "text/csv",
  buffer: Buffer.from(text),
});

/** The command line's answer as JSON: the truth outside the page. */
export function command(...words: string[]): unknown {
  const run = ["run", "--quiet", "--bin", "evenfold", "--", ...words, "--json"];
  try {
    return JSON.parse(
      execFileSync(process.env.CARGO ?? "cargo", run, {
        cwd: root,
        encoding: "utf8",
        maxBuffer: Infinity,
        stdio: ["ignore", "pipe", "ignore"],
      }),
    );
  } catch (error) {
    // It ends with 2 or 3 where something is to be put right, and says so in its document all the same.
    const { stdout } = error as { stdout?: string };
    if (stdout) return JSON.parse(stdout);
    throw error;
  }
}

/** The example farm, as the command line is told of it; `evaluate` and `regroup` name the flock by an option. */
export const FARM = [
  "--pens",
  example("pens.csv"),
  "--groups",
  example("groups.csv"),
  "--on",
  "2027-02-01",
  "--set-aside",
];

/** A file for the command line. */
export function written(name: string, text: string): string {
  const path = join(mkdtempSync(join(tmpdir(), "evenfold-page-")), name);
  writeFileSync(path, text);
  return path;
}

/** Every test: no request leaves the page, and nothing goes wrong unsaid. */
export const test = base.extend<{
  watched: { outside: string[]; faults: string[] };
}>({
  watched: [
    async ({ page }, use) => {
      if (!existsSync(BUILT))
        throw new Error(
          "the page is not built: run `cargo xtask app --no-open`",
        );
      const outside: string[] = [];
      const faults: string[] = [];
      page.on("request", (request) => {
        if (!/^(file|blob|data):/.test(request.url()))
          outside.push(request.url());
      });
      page.on("pageerror", (error) => faults.push(error.message));
      page.on("console", (message) => {
        if (message.type() === "error") faults.push(message.text());
      });
      await use({ outside, faults });
      expect(outside, "requests that left the page").toEqual([]);
      expect(faults, "errors in the browser").toEqual([]);
    },
    { auto: true },
  ],
});

/** Opens the first screen. */
export async function openStart(page: Page): Promise<void> {
  await page.goto(PAGE);
  await expect(page.getByLabel("Year")).toHaveValue(/\d{4}/);
}

/** Opens the demo flock, sorted. */
export async function openDemo(page: Page): Promise<void> {
  await page.goto(`${PAGE}#demo`);
  await expect(page.locator(".result h1")).toBeVisible({ timeout: 30_000 });
  await expect(page.locator(".pen")).toHaveCount(7);
}

/** Gives the page lists, all together, and sorts them. */
export async function sortLists(
  page: Page,
  lists: Parameters<ReturnType<Page["locator"]>["setInputFiles"]>[0],
) {
  await openStart(page);
  await page.locator("input[type=file][multiple]").setInputFiles(lists);
  await page.getByRole("button", { name: "Sort the flock" }).click();
  await expect(page.locator(".start")).toHaveCount(0, { timeout: 30_000 });
}

/** Picks the n-th ewe of a pen up, by keys. */
export async function pickUp(
  page: Page,
  pen: number,
  ewe: number,
): Promise<string> {
  const mark = page.locator(".pen").nth(pen).locator(".mark").nth(ewe);
  const tag = (await mark.getAttribute("data-tag")) ?? "";
  await mark.focus();
  await page.keyboard.press("Enter");
  await expect(hand(page)).toContainText(tag);
  return tag;
}

/** Where the ewe in hand is shown. */
export const hand = (page: Page) =>
  page.getByRole("region", { name: "In hand" });

/** Opens the sheet of the n-th ewe of a pen. */
export async function openEwe(
  page: Page,
  pen: number,
  ewe: number,
): Promise<string> {
  const tag = await pickUp(page, pen, ewe);
  await openHeld(page, tag);
  return tag;
}

/** Opens the sheet of the ewe in hand. */
export async function openHeld(page: Page, tag: string): Promise<void> {
  await hand(page).getByRole("button", { name: "All about her" }).click();
  await expect(page.getByRole("heading", { name: `Ewe ${tag}` })).toBeFocused();
}

/** A small flock: ten twins, the due date as given. */
export function twins(due: (at: number) => string, count = 10): string {
  const rows = Array.from(
    { length: count },
    (_, at) => `T${at + 1},2,${at % 2 ? "2.5" : "3"},${due(at)},mature,75`,
  );
  return ["tag,litter,condition,due,age,weight_kg", ...rows].join("\n");
}

/** Two pens with that much trough each. */
export const twoPens = (trough: number) =>
  `pen,trough_m,area_m2\nA,${trough},40\nB,${trough},40\n`;
