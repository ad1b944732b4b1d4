/** A finger and a tag reader, as the browser itself is told of them: real touches and real keys, no events made in the page. */
import type { CDPSession, Locator, Page } from "../../www/harness.ts";

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

  /** Taps the middle of what is there, once it is in sight, at rest and covered by nothing. */
  async tap(what: Locator): Promise<void> {
    await what.click({ trial: true });
    const box = await what.boundingBox();
    if (!box) throw new Error("nothing is there to be tapped");
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await this.devtools.send("Input.dispatchTouchEvent", {
      type: "touchStart",
      touchPoints: [{ x, y }],
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
