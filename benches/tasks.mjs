// How long the page's own thread holds still while the feeding plan of the invented flock is worked out, in Chromium:
// `cargo xtask app --no-open && node benches/tasks.mjs`. Prints the tasks of more than 50 ms; the aim is none.

import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const { chromium } = await import(pathToFileURL(join(root, "www/node_modules/@playwright/test/index.mjs")).href);
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox"],
});
const page = await browser.newPage({ viewport: { width: 1024, height: 768 } });
await page.goto(`${pathToFileURL(join(root, "www/dist/evenfold.html")).href}#demo`);
await page.locator(".pen").first().waitFor({ timeout: 60_000 });
await page.getByRole("navigation", { name: "Rooms" }).getByRole("button", { name: "Feed plan" }).click();
const start = page.getByRole("button", { name: "Use invented feeds" });
await start.waitFor();
await page.waitForTimeout(500);
await page.evaluate(() => {
  window.long = [];
  new PerformanceObserver((found) => {
    for (const { startTime, duration } of found.getEntries()) window.long.push([startTime, duration]);
  }).observe({ type: "longtask" });
  window.begun = performance.now();
});
await start.click();
await page.getByRole("button", { name: "Week after" }).waitFor({ timeout: 120_000 });
await page.waitForTimeout(500);
const { long, begun } = await page.evaluate(() => ({ long: window.long, begun: window.begun }));
console.log(`tasks of more than 50 ms while the plan ran and was drawn: ${long.length}`);
for (const [at, ms] of long) console.log(`  ${(at - begun).toFixed(0)} ms after the tap: ${ms.toFixed(0)} ms`);
await browser.close();
