/** The page as an installed site: kept whole or not at all, without a server, and never changed under the person. */
import {
  cpSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { BUILT, expect, type Page } from "./support.ts";
import { beginBare, enterEwe, harsh as test } from "./race-support.ts";

const KINDS: Record<string, string> = {
  html: "text/html; charset=utf-8",
  js: "text/javascript; charset=utf-8",
  svg: "image/svg+xml",
  webmanifest: "application/manifest+json",
};

/** The built site on a server of our own, which can be changed, made to fail, and stopped. */
class Site {
  readonly folder = mkdtempSync(join(tmpdir(), "evenfold-site-"));
  /** A file for which the server answers with an error. */
  broken = "";
  /** What was asked for, in order. */
  readonly asked: string[] = [];
  private server: Server | undefined;
  private port = 0;

  constructor() {
    cpSync(join(dirname(BUILT), "site"), this.folder, { recursive: true });
  }

  get address(): string {
    return `http://localhost:${this.port}/`;
  }

  async start(): Promise<void> {
    this.server = createServer((request, response) => {
      const name = (request.url ?? "/").slice(1).split("?")[0] || "index.html";
      this.asked.push(name);
      try {
        if (name === this.broken) throw new Error("made to fail");
        const body = readFileSync(join(this.folder, name));
        const kind = KINDS[name.split(".").at(-1) ?? ""] ?? "text/plain";
        response
          .writeHead(200, { "content-type": kind, "cache-control": "no-cache" })
          .end(body);
      } catch {
        response.writeHead(500).end();
      }
    });
    await new Promise<void>((resolve) =>
      this.server?.listen(this.port, "127.0.0.1", resolve),
    );
    this.port = (this.server.address() as AddressInfo).port;
  }

  async stop(): Promise<void> {
    this.server?.closeAllConnections();
    await new Promise((resolve) => this.server?.close(resolve));
  }

  /** A newer version: the page says another number, and the keeper another sum. */
  renew(sum: string): void {
    const change = (name: string, from: RegExp, to: string) => {
      const path = join(this.folder, name);
      const text = readFileSync(path, "utf8");
      expect(text).toMatch(from);
      writeFileSync(path, text.replace(from, to));
    };
    change("index.html", /<title>[^<]*<\/title>/, `<title>${sum}</title>`);
    change("keep.js", /evenfold-site-[0-9a-z]+/, `evenfold-site-${sum}`);
  }
}

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
    rmSync(own.folder, { recursive: true, force: true });
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

site("what the first visit loads stays small", ({ own }) => {
  const files = readdirSync(own.folder);
  expect(files).toContain("engine.bin");
  const sum = files
    .map((name) => statSync(join(own.folder, name)).size)
    .reduce((all, size) => all + size);
  // As the files lie, on a server that packs nothing. The aim is 1,000,000.
  expect(sum).toBeLessThan(1_350_000);
});

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
      "engine.bin",
      "keep.js",
      "evenfold.webmanifest",
      "icon.svg",
    ];
    expect(own.asked.filter((name) => !known.includes(name))).toEqual([]);
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
