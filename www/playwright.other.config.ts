import { defineConfig } from "@playwright/test";

/**
 * The built file in browsers other than Chromium. Not part of `cargo xtask test`, since not every machine has them:
 * asked for by name (`npm run test:firefox`, `npm run test:webkit`).
 */
export default defineConfig({
  testDir: "../tests/browser/other",
  testMatch: "*.tour.ts",
  outputDir: "../tests/browser/results/other",
  fullyParallel: false,
  workers: 1,
  timeout: 240_000,
  reporter: "list",
});
