/** What comes before the store is open. */
import { beginBare, harsh as test, openRace, wedge } from "./race-support.ts";
import { expect } from "./support.ts";

test("a tag that is read while the store still opens is not missed", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  await page.addInitScript(() => {
    const real = navigator.locks.request.bind(navigator.locks) as (
      ...of: unknown[]
    ) => unknown;
    // The lock comes late, as on a slow tablet.
    Object.assign(navigator.locks, {
      request: (...of: unknown[]) =>
        new Promise((resolve) =>
          setTimeout(() => {
            resolve(real(...of));
          }, 1500),
        ),
    });
  });
  await page.reload();
  await expect(page.locator(".race-gate")).toBeVisible({ timeout: 30_000 });
  await wedge(page, "TAG0042");
  await expect(page.locator(".race-name")).toContainText("TAG0042");
});
