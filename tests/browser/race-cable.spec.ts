/** The reader on a cable: a port that the test plays, with bytes cut anywhere, lost and plugged in again. */
import { expect, test, type Page } from "./support.ts";
import { beginBare, eid, openRace, toMore } from "./race-support.ts";

/** A serial port as the browser would have it; the test sends into it. */
async function plugIn(page: Page): Promise<void> {
  await page.addInitScript(() => {
    class Port extends EventTarget {
      readable: ReadableStream<Uint8Array> | null = null;
      private to: ReadableStreamDefaultController<Uint8Array> | undefined;
      readonly opened: number[] = [];
      open({ baudRate }: { baudRate: number }): Promise<void> {
        if (this.readable)
          return Promise.reject(
            new DOMException("it is open", "InvalidStateError"),
          );
        this.opened.push(baudRate);
        this.stream();
        return Promise.resolve();
      }
      close(): Promise<void> {
        this.readable = null;
        return Promise.resolve();
      }
      stream(): void {
        this.readable = new ReadableStream<Uint8Array>({
          start: (to) => {
            this.to = to;
          },
        });
      }
      send(bytes: number[]): void {
        this.to?.enqueue(new Uint8Array(bytes));
      }
      /** A garbled byte: this stream ends, and there is another. */
      garble(): void {
        const old = this.to;
        this.stream();
        old?.error(new DOMException("framing", "FramingError"));
      }
      lose(): void {
        const old = this.to;
        this.readable = null;
        old?.error(new DOMException("the device is lost", "NetworkError"));
      }
    }
    const port = new Port();
    const ports = new EventTarget();
    let chosen = sessionStorage.getItem("chosen") === "yes";
    const serial = Object.assign(ports, {
      requestPort: () => {
        chosen = true;
        sessionStorage.setItem("chosen", "yes");
        return Promise.resolve(port);
      },
      getPorts: () => Promise.resolve(chosen ? [port] : []),
    });
    Object.defineProperty(navigator, "serial", {
      value: serial,
      configurable: true,
    });
    Object.assign(window, { port, ports });
  });
}

interface Played {
  port: {
    opened: number[];
    send: (bytes: number[]) => void;
    garble: () => void;
    lose: () => void;
  };
  ports: EventTarget;
}

/** Sends text in pieces of the sizes given, the last piece to the end. */
async function send(page: Page, text: string, ...sizes: number[]) {
  await page.evaluate(
    ([bytes, sizes]) => {
      const { port } = window as unknown as Played;
      let at = 0;
      for (const size of [...sizes, bytes.length]) {
        port.send(bytes.slice(at, at + size));
        at += size;
      }
    },
    [[...Buffer.from(text, "latin1")], sizes] as const,
  );
}

async function beginWithCable(page: Page): Promise<void> {
  await plugIn(page);
  await openRace(page);
  await beginBare(page);
  await toMore(page);
  await page.getByRole("button", { name: "Choose the reader" }).click();
  await expect(page.locator(".race-cable [role=status]")).toContainText(
    "The reader is open",
  );
  await page.getByRole("button", { name: "Back to the gate" }).click();
}

test("tags come by cable, in pieces cut anywhere, whatever ends a line", async ({
  page,
}) => {
  await beginWithCable(page);
  const name = page.locator(".race-name");
  const wipe = page.getByRole("button", { name: "Clear" });
  // One byte after the other, CR and LF apart.
  await send(page, `LA ${eid(1)}\r\n`, ...Array.from({ length: 19 }, () => 1));
  await expect(name).toContainText(eid(1));
  await wipe.click();
  // A line feed alone; label, pair of numbers and time as readers send them.
  await send(page, `826 072434500002 12:04:11\n`, 5, 9);
  await expect(name).toContainText(eid(2));
  await wipe.click();
  // A carriage return alone, and the beginning of the next line with it.
  await send(page, `${eid(3)}\r${eid(4).slice(0, 6)}`, 3);
  await expect(name).toContainText(eid(3));
  await wipe.click();
  await send(page, `${eid(4).slice(6)}\r`);
  await expect(name).toContainText(eid(4));
  await wipe.click();
  // No end at all: the silence ends it.
  await send(page, eid(5), 4, 4);
  await expect(name).toContainText(eid(5));
  expect(
    await page.evaluate(() => (window as unknown as Played).port.opened),
  ).toEqual([9600]);
});

test("what is no tag is said, and what is read while she stands there is asked about, as with any reader", async ({
  page,
}) => {
  await beginWithCable(page);
  await send(page, "82607243450009\r\n");
  await expect(page.getByRole("alert")).toContainText("14 digits");
  await send(page, `${eid(6)}\r\n`);
  await expect(page.locator(".race-name")).toContainText(eid(6));
  await page.locator(".race-lambs button").nth(2).click();
  await send(page, `${eid(7)}\r\n`);
  await expect(page.locator(".race-ask")).toContainText("is not entered yet");
});

test("a garbled byte costs that line; a lost cable is told, and told when it is back", async ({
  page,
}) => {
  await beginWithCable(page);
  await page.evaluate(() => (window as unknown as Played).port.garble());
  await send(page, `\r\n${eid(8)}\r\n`);
  await expect(page.locator(".race-name")).toContainText(eid(8));
  await page.getByRole("button", { name: "Clear" }).click();
  await page.evaluate(() => (window as unknown as Played).port.lose());
  await expect(page.getByRole("alert")).toContainText("cable is lost");
  // Tags can be written meanwhile.
  await page.locator("#race-tag").fill("0417");
  await page.getByRole("button", { name: "Take it" }).click();
  await expect(page.locator(".race-name")).toContainText("0417");
  await page.getByRole("button", { name: "Clear" }).click();
  await page.evaluate(() => {
    (window as unknown as Played).ports.dispatchEvent(new Event("connect"));
  });
  await expect(page.locator(".race-notice")).toContainText(
    "The reader is back",
  );
  await send(page, `${eid(9)}\r\n`);
  await expect(page.locator(".race-name")).toContainText(eid(9));
});

test("a reader that was chosen is opened by itself at the next visit, at its speed, until it is let go", async ({
  page,
}) => {
  await beginWithCable(page);
  await toMore(page);
  await page.getByRole("button", { name: "38400" }).click();
  await expect
    .poll(() => page.evaluate(() => (window as unknown as Played).port.opened))
    .toEqual([9600, 38400]);
  await page.reload();
  await expect
    .poll(() => page.evaluate(() => (window as unknown as Played).port.opened))
    .toEqual([38400]);
  await send(page, `${eid(10)}\r\n`);
  await expect(page.locator(".race-name")).toContainText(eid(10));
  await page.getByRole("button", { name: "Clear" }).click();
  await toMore(page);
  await page.getByRole("button", { name: "Let go of the reader" }).click();
  await expect(
    page.getByRole("button", { name: "Choose the reader" }),
  ).toBeVisible();
  await page.reload();
  await expect(page.locator(".race-gate")).toBeVisible({ timeout: 30_000 });
  await expect(page.locator("#race-tag")).toBeEnabled();
  expect(
    await page.evaluate(() => (window as unknown as Played).port.opened),
  ).toEqual([]);
});

test("a browser without serial ports shows nothing of it", async ({ page }) => {
  await page.addInitScript(() => {
    Object.defineProperty(navigator, "serial", {
      value: undefined,
      configurable: true,
    });
  });
  await openRace(page);
  await beginBare(page);
  await toMore(page);
  await expect(page.getByRole("heading", { name: "Backup" })).toBeVisible();
  await expect(page.getByText("Reader by cable")).toHaveCount(0);
});
