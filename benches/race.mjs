// How long from a tap at the race to the pen shown, and from "Go" to "Saved" (on the disk, as far as the browser tells),
// in Chromium with the processor slowed down: `cargo xtask app --no-open && node benches/race.mjs [--ewes 150] [--slow 6]`.
// `--journal FILE` takes over a journal first, so that the page is opened on it as well: `cargo run --example journal --
// --events 20000` prints a long one.
// `--site ADDRESS` takes the site that is served there instead of the file.
// The flock is the invented one. Prints median, 95th percentile and slowest; also whether the engine's own thread is
// slowed down with the page, for a browser need not do that.

import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const { chromium } = await import(
  pathToFileURL(join(root, "www/node_modules/@playwright/test/index.mjs")).href
);

const option = (name, usual) => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? usual : Number(process.argv[at + 1]);
};
const [ewes, slow] = [option("ewes", 150), option("slow", 6)];

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox"],
});
const page = await browser.newPage({ viewport: { width: 768, height: 1024 } });
const where = process.argv.indexOf("--site");
const address =
  where > 0
    ? process.argv[where + 1]
    : pathToFileURL(join(root, "www/dist/evenfold.html")).href;
await page.goto(`${address}#race`);
await page
  .getByRole("button", { name: "Use the invented lists" })
  .click({ timeout: 60_000 });
await page
  .locator(".race-pens li")
  .first()
  .waitFor({ timeout: 60_000, state: "attached" });
if (!(await page.locator(".race-gate").isVisible()))
  await page.getByRole("button", { name: "Back to the gate" }).click();

const loop = () => {
  const start = performance.now();
  let sum = 0;
  for (let at = 0; at < 2e7; at++) sum += Math.sqrt(at);
  return sum > 0 ? performance.now() - start : 0;
};
const threads = async () => [
  await page.evaluate(loop),
  ...(await Promise.all(page.workers().map((worker) => worker.evaluate(loop)))),
];
const before = await threads();
const devtools = await page.context().newCDPSession(page);
await devtools.send("Emulation.setCPUThrottlingRate", { rate: slow });
const after = await threads();
console.log(
  `a fixed loop, page then engines: ${before.map((ms) => ms.toFixed(0)).join(", ")} ms; slowed ${slow} times: ${after.map((ms) => ms.toFixed(0)).join(", ")} ms`,
);

const times = await page.evaluate(async (count) => {
  const drawn = () =>
    new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve)));
  const seen = (there) =>
    new Promise((resolve) => {
      const look = () => {
        if (!there()) return false;
        watch.disconnect();
        resolve();
        return true;
      };
      const watch = new MutationObserver(look);
      watch.observe(document.body, {
        subtree: true,
        childList: true,
        characterData: true,
        attributes: true,
      });
      look();
    });
  const taps = { lambs: [], pen: [], saved: [] };
  const button = (of, at) => document.querySelectorAll(of)[at];
  const time = async (into, act, there) => {
    const start = performance.now();
    act();
    await seen(there);
    await drawn();
    into.push(performance.now() - start);
  };
  for (let ewe = 0; ewe < count; ewe++) {
    const tag = `826${String(72434500000 + ewe).padStart(12, "0")}`;
    for (const key of [...tag, "Enter"])
      document.body.dispatchEvent(
        new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }),
      );
    await seen(() =>
      document.querySelector(".race-name")?.textContent?.includes(tag),
    );
    const lambs = 1 + (ewe % 3);
    await time(
      taps.lambs,
      () => button(".race-lambs button", lambs).click(),
      () => button(".race-lambs button", lambs).ariaPressed === "true",
    );
    // "Pen" with its letter, or "Hold": whichever is told.
    await time(
      taps.pen,
      () => button(".race-condition button", 2 + (ewe % 5)).click(),
      () =>
        document
          .querySelector(
            ".race-pen:not(.done) .race-to, .race-pen:not(.done) .race-open",
          )
          ?.textContent?.match(/^Pen|^Hold/),
    );
    await time(
      taps.saved,
      () => document.querySelector("button.go").click(),
      () =>
        document.querySelector(".race-pen.done")?.textContent?.includes(tag),
    );
  }
  return taps;
}, ewes);

// A ewe who passed as the first stands there again: the draft is seated anew without her.
times.again = await page.evaluate(async () => {
  const start = { at: 0 };
  const until = (there) =>
    new Promise((resolve) => {
      const look = () => (there() ? resolve() : requestAnimationFrame(look));
      look();
    });
  const tag = "826072434500000";
  for (const key of [...tag, "Enter"])
    document.body.dispatchEvent(
      new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }),
    );
  await until(() => document.querySelector(".race-ask, .race-name"));
  document.querySelector(".race-ask button.main")?.click();
  await until(() => document.querySelector(".race-name"));
  start.at = performance.now();
  document.querySelectorAll(".race-condition button")[3].click();
  await until(() =>
    document
      .querySelector(".race-pen:not(.done) .race-to, .race-open")
      ?.textContent?.match(/^Pen|^Hold/),
  );
  return [performance.now() - start.at];
});
async function openAnew() {
  const opened = performance.now();
  await page.reload();
  await page.locator(".race-pens li").first().waitFor({ timeout: 120_000 });
  return performance.now() - opened;
}
times.opened = [await openAnew(), await openAnew(), await openAnew()];
const at = process.argv.indexOf("--journal");
if (at > 0) {
  await page.getByRole("button", { name: "Lists and backup" }).click();
  await page.locator("[data-race=backup]").setInputFiles(process.argv[at + 1]);
  const other = page.getByRole("button", { name: "They are one flock" });
  await other.click({ timeout: 120_000 });
  await page.getByText("known already").waitFor({ timeout: 300_000 });
  times.long = [await openAnew(), await openAnew(), await openAnew()];
}

for (const [name, all] of Object.entries(times)) {
  const sorted = all.sort((one, other) => one - other);
  const at = (share) =>
    sorted[
      Math.min(sorted.length - 1, Math.floor(share * sorted.length))
    ].toFixed(0);
  const what = {
    lambs: "tap on lambs to shown",
    pen: "tap on condition to pen shown",
    saved: "tap on go to saved, on the disk",
    again: "one who passed first stands there again: tap to pen shown",
    opened: "page opened anew to the gate",
    long: "the same on the long journal",
  }[name];
  console.log(
    `${what}: median ${at(0.5)} ms, 95 of 100 within ${at(0.95)} ms, slowest ${at(1)} ms (${sorted.length} ewes)`,
  );
}
await browser.close();
