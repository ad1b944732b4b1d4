/** The engine works on its own thread, and its failures are told. */
import { readFileSync, statSync } from "node:fs";
import { BUILT, expect, openDemo, PAGE, test } from "./support.ts";

test("the file stays small and its policy lets nothing out", () => {
  expect(statSync(BUILT).size).toBeLessThan(1_500_000);
  const policy =
    /Content-Security-Policy" content="([^"]+)"/.exec(
      readFileSync(BUILT, "utf8"),
    )?.[1] ?? "";
  expect(policy).toContain("default-src 'none'");
  expect(policy).not.toMatch(
    /unsafe-inline|unsafe-eval'(?<!wasm-unsafe-eval')|https?:|\*/,
  );
});

test("the engine runs in a worker and the page never holds still while it sorts", async ({
  page,
}) => {
  await page.addInitScript(() => {
    const long: number[] = [];
    new PerformanceObserver((found) => {
      for (const entry of found.getEntries()) long.push(entry.duration);
    }).observe({ type: "longtask", buffered: true });
    Object.assign(window, { long });
  });
  const started = page.waitForEvent("worker");
  await openDemo(page);
  expect((await started).url()).toMatch(/^blob:/);
  const long = await page.evaluate(
    () => (window as unknown as { long: number[] }).long,
  );
  // The first drawing may take a little on a busy machine; a sort on the page's own thread would take far longer.
  expect(Math.max(0, ...long)).toBeLessThan(200);
});

test("the page asks nothing of the network, even when told to", async ({
  page,
  watched,
}) => {
  await openDemo(page);
  const outcome = await page.evaluate(() =>
    fetch("https://example.invalid/").then(
      () => "sent",
      () => "stopped",
    ),
  );
  expect(outcome).toBe("stopped");
  // The policy says so in the console; the request itself never came to be.
  expect(watched.faults.join()).toContain("Content Security Policy");
  watched.faults.length = 0;
});

test("a broken engine is told in words and can be asked again", async ({
  page,
}) => {
  await page.addInitScript(() => {
    // Called with its worker as `this` below.
    // eslint-disable-next-line @typescript-eslint/unbound-method
    const send = Worker.prototype.postMessage as (message: unknown) => void;
    let broken = false;
    Worker.prototype.postMessage = function (this: Worker, message: unknown) {
      const packed =
        typeof message === "object" && message !== null && "packed" in message;
      // The first engine arrives damaged, the second whole.
      if (packed && !broken) {
        broken = true;
        send.call(this, { ...message, packed: "AAAA" });
      } else {
        send.call(this, message);
      }
    };
  });
  await page.goto(PAGE);
  await expect(page.locator(".failed")).toContainText("That did not work");
  await page.getByRole("button", { name: "Try again" }).click();
  await expect(page.getByLabel("Year")).toBeVisible();
  await page.getByRole("button", { name: "Use the demo flock" }).click();
  await expect(page.locator(".pen")).toHaveCount(7, { timeout: 30_000 });
  await expect(page.locator(".failed")).toHaveCount(0);
});

test("what the engine does can be stopped", async ({ page }) => {
  await page.addInitScript(() => {
    // Called with its worker as `this` below.
    // eslint-disable-next-line @typescript-eslint/unbound-method
    const send = Worker.prototype.postMessage as (message: unknown) => void;
    Worker.prototype.postMessage = function (this: Worker, message: unknown) {
      const question = (message as { question?: { ask: string } }).question;
      if (question?.ask !== "sort") send.call(this, message);
    };
  });
  await page.goto(`${PAGE}#demo`);
  await expect(page.locator(".busy")).toContainText("Sorting");
  await page.getByRole("button", { name: "Stop" }).click();
  await expect(page.locator(".busy")).toHaveCount(0);
  await expect(
    page.getByRole("button", { name: "Use the demo flock" }),
  ).toBeEnabled();
});
