/** What the browser tests need from the page's packages. */
export { AxeBuilder } from "@axe-core/playwright";
export { expect, test, type Locator, type Page } from "@playwright/test";
export { chromium, type BrowserContext, type CDPSession } from "@playwright/test";
export { WebSocket } from "undici";
