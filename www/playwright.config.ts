import { defineConfig } from "@playwright/test";

const results = "../tests/browser/results";

/** The built file in a real browser, by its file:// address. */
export default defineConfig({
  testDir: "../tests/browser",
  globalSetup: "../tests/browser/setup.ts",
  outputDir: `${results}/run`,
  fullyParallel: false,
  workers: 1,
  forbidOnly: Boolean(process.env.CI),
  timeout: 60_000,
  reporter: "list",
  use: {
    viewport: { width: 1024, height: 768 },
    screenshot: "only-on-failure",
    launchOptions: {
      executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
      args: ["--no-sandbox"],
    },
  },
});
