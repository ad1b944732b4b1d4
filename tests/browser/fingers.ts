/** A finger and a tag reader, as the browser itself is told of them: real touches and real keys, no events made in the page. */
import {
  expect,
  type CDPSession,
  type Locator,
  type Page,
} from "../../www/harness.ts";

/** How far apart a reader's keys are, in seconds (they send within 2 to 20 ms). */
const READER_KEY_S = 0.003;

/** A tablet's glass and the reader that is joined to it. */
export class Fingers {
  private constructor(
    private readonly page: Page,
    readonly devtools: CDPSession,
  ) {}

  /** Makes a window a tablet, held upright. */
  static async on(page: Page): Promise<Fingers> {
    const devtools = await page.context().newCDPSession(page);
    await devtools.send("Emulation.setDeviceMetricsOverride", {
      width: 768,
      height: 1024,
      deviceScaleFactor: 1,
      mobile: true,
    });
    await devtools.send("Emulation.setTouchEmulationEnabled", {
      enabled: true,
      maxTouchPoints: 1,
    });
    return new Fingers(page, devtools);
  }

  /** Taps the middle of what is there, once it may be pressed and is covered by nothing. */
  async tap(what: Locator): Promise<void> {
    let at: { x: number; y: number } | null = null;
    await expect
      .poll(async () => (at = await what.evaluate(middle)), {
        message: "it cannot be tapped",
        timeout: 30_000,
        intervals: [10, 20, 50, 100],
      })
      .not.toBe(null);
    await this.devtools.send("Input.dispatchTouchEvent", {
      type: "touchStart",
      touchPoints: at ? [at] : [],
    });
    await this.devtools.send("Input.dispatchTouchEvent", {
      type: "touchEnd",
      touchPoints: [],
    });
  }

  /** Taps the button of that name. */
  press(name: string | RegExp): Promise<void> {
    return this.tap(this.page.getByRole("button", { name }).first());
  }

  /** The reader sends: every key with the time at which it would have come, whatever this machine does meanwhile. */
  async send(text: string): Promise<void> {
    const start = Date.now() / 1000;
    const keys = [...Array.from(text), "\r"].flatMap((sign, at) => {
      const isEnter = sign === "\r";
      const timestamp = start + at * READER_KEY_S;
      const key = isEnter ? "Enter" : sign;
      const code = isEnter ? 13 : sign.toUpperCase().charCodeAt(0);
      const known = { key, windowsVirtualKeyCode: code, timestamp };
      return [
        this.devtools.send("Input.dispatchKeyEvent", {
          type: "keyDown",
          text: sign,
          ...known,
        }),
        this.devtools.send("Input.dispatchKeyEvent", {
          type: "keyUp",
          ...known,
        }),
      ];
    });
    await Promise.all(keys);
  }
}

/** In the page: where a finger would meet it; nothing where it is disabled or something else lies there. */
function middle(element: Element): { x: number; y: number } | null {
  if (element.matches(":disabled")) return null;
  element.scrollIntoView({ block: "nearest", behavior: "instant" });
  const { left, right, top, bottom } = element.getBoundingClientRect();
  const at = { x: (left + right) / 2, y: (top + bottom) / 2 };
  const met = document.elementFromPoint(at.x, at.y);
  return met && element.contains(met) ? at : null;
}
