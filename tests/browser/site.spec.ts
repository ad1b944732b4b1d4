/** The page as an installed site: kept whole or not at all, without a server, and never changed under the person. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { brotliCompressSync, gunzipSync } from "node:zlib";
import { Site } from "./site-server.ts";
import { expect, type Page } from "./support.ts";
import { beginBare, enterEwe, harsh as test } from "./race-support.ts";

/** Opens the site and waits until the keeper has it. */
async function openKept(page: Page, address: string): Promise<void> {
  await page.goto(address);
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
  });
  await expect(page.getByText("it opens without a network")).toBeVisible();
}

const site = test.extend<{ own: Site }>({
  // eslint-disable-next-line no-empty-pattern -- the form that the test runner asks for
  own: async ({}, give) => {
    const own = new Site();
    await own.start();
    await give(own);
    await own.stop();
    own.remove();
  },
});

site(
  "it is kept at the first visit, says so once, and opens without its server",
  async ({ page, own }) => {
    await openKept(page, own.address);
    await expect(page.getByText("Ready to work offline.")).toBeVisible();
    await expect(page.locator(".foot")).toContainText(/Evenfold \d+\.\d+\.\d+/);
    await own.stop();
    await page.goto(`${own.address}#race`);
    await beginBare(page);
    await enterEwe(page, "TAG0001", 2, 3);
    await page.reload();
    await expect(page.locator(".race-run")).toContainText("1 ewe today");
    await page.goto(`${own.address}?start`);
    await expect(page.getByText("it opens without a network")).toBeVisible();
    await expect(page.getByText("Ready to work offline.")).toHaveCount(0);
    await own.start();
  },
);

site(
  "what is loaded before the first ewe can be entered stays small",
  ({ own }) => {
    const { parts } = own;
    expect(parts).toHaveLength(3);
    const first = parts[0] ?? "";
    const all = readdirSync(own.folder);
    const before = all.filter(
      (name) => name === first || !parts.includes(name),
    );
    // As the files lie, on a server that packs nothing.
    expect(own.size(before)).toBeLessThan(1_000_000);
    const compiled = gunzipSync(readFileSync(join(own.folder, first)));
    expect(compiled.subarray(1, 4).toString()).toBe("asm");
    expect(brotliCompressSync(compiled).length).toBeLessThan(500_000);
    // With all that is asked for later. In one piece the engine would be hardly lighter.
    expect(own.size(all)).toBeLessThan(1_300_000);
  },
);

site(
  "the race needs the first part alone, and every other part comes when it is asked for",
  async ({ browser, own }) => {
    // Without the keeper, which fetches the rest at once.
    const context = await browser.newContext({ serviceWorkers: "block" });
    const page = await context.newPage();
    const fetched = () => own.asked.filter((name) => name.startsWith("engine"));
    await page.goto(`${own.address}#race`);
    await beginBare(page);
    await enterEwe(page, "TAG0001", 2, 3);
    expect(fetched()).toEqual([own.parts[0]]);
    await page.goto(`${own.address}?start`);
    await expect(page.getByLabel("Year")).toBeVisible({ timeout: 30_000 });
    expect(fetched()).toEqual([own.parts[0], own.parts[0]]);
    await page.getByRole("button", { name: "Use the demo flock" }).click();
    await expect(page.locator(".pen")).toHaveCount(7, { timeout: 30_000 });
    expect(fetched().slice(2)).toEqual([own.parts[1]]);
    await page.goto(`${own.address}?rations`);
    await page.getByRole("button", { name: "What to feed" }).click();
    await page.getByRole("button", { name: "Use invented feeds" }).click();
    await expect(page.locator(".fed")).toBeVisible({ timeout: 30_000 });
    // Asked for at once, they come in either order.
    expect(fetched().slice(3).sort()).toEqual(own.parts);
    await context.close();
  },
);

site(
  "a part that cannot be fetched is told in words, harms nothing, and is fetched when there is a network again",
  async ({ browser, own }) => {
    const context = await browser.newContext({ serviceWorkers: "block" });
    const page = await context.newPage();
    await page.goto(`${own.address}#race`);
    await beginBare(page);
    await enterEwe(page, "TAG0001", 2, 3);
    own.broken = own.parts[1] ?? "";
    await page.goto(`${own.address}?start`);
    await page.getByRole("button", { name: "Use the demo flock" }).click();
    await expect(page.locator(".failed")).toContainText(
      "not on this device yet",
    );
    own.broken = "";
    await page.getByRole("button", { name: "Use the demo flock" }).click();
    await expect(page.locator(".pen")).toHaveCount(7, { timeout: 30_000 });
    await expect(page.locator(".failed")).toHaveCount(0);
    await page.goto(`${own.address}#race`);
    await expect(page.locator(".race-run")).toContainText("1 ewe today");
    await context.close();
  },
);

site(
  "nothing but its own few files is ever asked for",
  async ({ page, own }) => {
    const outside: string[] = [];
    page.context().on("request", (request) => {
      if (
        !/^(blob|data):/.test(request.url()) &&
        !request.url().startsWith(own.address)
      )
        outside.push(request.url());
    });
    await openKept(page, own.address);
    await page.goto(`${own.address}#demo`);
    await expect(page.locator(".strip").first()).toBeVisible({
      timeout: 30_000,
    });
    expect(outside).toEqual([]);
    const known = [
      "index.html",
      ...own.parts,
      "keep.js",
      "evenfold.webmanifest",
      "icon.svg",
    ];
    expect(own.asked.filter((name) => !known.includes(name))).toEqual([]);
    // What the page had fetched is not sent again to be kept.
    expect(own.sent.length).toBe(new Set(own.sent).size);
  },
);

site(
  "on a poor signal nothing is kept before the race can begin",
  async ({ page, own }) => {
    const first = own.parts[0] ?? "";
    own.slow = first;
    await openKept(page, `${own.address}?start`);
    expect(own.sent.indexOf(first)).toBeGreaterThan(-1);
    expect(own.sent.indexOf("keep.js")).toBeGreaterThan(
      own.sent.indexOf(first),
    );
  },
);

site(
  "a newer version waits until it is asked for, is not offered at the race, and keeps every entry",
  async ({ page, own }) => {
    await openKept(page, own.address);
    await page.goto(`${own.address}#race`);
    await beginBare(page);
    await enterEwe(page, "TAG0001", 2, 3);
    own.renew("newer");
    await page.evaluate(async () => {
      await (await navigator.serviceWorker.ready).update();
    });
    const waits = () =>
      page.evaluate(
        async () => (await navigator.serviceWorker.ready).waiting !== null,
      );
    await expect.poll(waits).toBe(true);
    const offer = page.getByRole("button", { name: "A newer version is here" });
    await expect(offer).toHaveCount(0);
    await page.goto(`${own.address}?start`);
    await expect(page).toHaveTitle("Evenfold");
    await expect(offer).toBeVisible();
    await offer.click();
    await expect(page).toHaveTitle("newer", { timeout: 20_000 });
    await expect(offer).toHaveCount(0);
    await page.goto(`${own.address}#race`);
    await expect(page.locator(".race-run")).toContainText("1 ewe today");
    const names = await page.evaluate(() => caches.keys());
    expect(names).toEqual(["evenfold-site-newer"]);
  },
);

site(
  "a version of which a file is missing is not taken at all",
  async ({ page, own }) => {
    await openKept(page, own.address);
    own.renew("halved");
    own.broken = "icon.svg";
    await page.evaluate(async () => {
      await (
        await navigator.serviceWorker.ready
      )
        .update()
        .catch(() => undefined);
    });
    await expect
      .poll(() => own.asked.filter((name) => name === "icon.svg").length)
      .toBeGreaterThan(1);
    await page.goto(`${own.address}?start`);
    await expect(page).toHaveTitle("Evenfold");
    await expect(page.getByText("it opens without a network")).toBeVisible();
    expect(
      await page.evaluate(
        async () => (await navigator.serviceWorker.ready).waiting,
      ),
    ).toBeNull();
  },
);

site(
  "to install it first is advised before the first entry, and no longer once it is installed",
  async ({ browser, own }) => {
    const advice = "install this page first";
    const page = await browser.newPage();
    await page.goto(`${own.address}#race`);
    await expect(page.getByText(advice)).toBeVisible({ timeout: 30_000 });
    // The emulation of media knows no display mode here.
    await page.addInitScript(() => {
      const real = window.matchMedia.bind(window);
      window.matchMedia = (query) =>
        real(query.includes("display-mode: standalone") ? "all" : query);
    });
    await page.reload();
    await expect(
      page.getByRole("button", { name: "Begin without lists" }),
    ).toBeVisible({ timeout: 30_000 });
    await expect(page.getByText(advice)).toHaveCount(0);
    await page.close();
  },
);
