/** WebKit for GTK, driven over plain WebDriver; its window is our own, so that a profile lasts. */
import { spawn, type ChildProcess } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { join } from "node:path";
import { expect } from "../../../www/harness.ts";
import type { Browser, Start, Tab } from "./visit.ts";

/** How WebDriver names an element. */
const ELEMENT = "element-6066-11e4-a52e-4f735466cecf";

/** A door that nobody uses. */
const freePort = (): Promise<number> =>
  new Promise((resolve) => {
    const server = createServer().listen(0, "127.0.0.1", () => {
      const address = server.address();
      server.close(() =>
        resolve(typeof address === "object" && address ? address.port : 0),
      );
    });
  });

async function talk(
  method: "POST" | "GET" | "DELETE",
  address: string,
  body?: unknown,
): Promise<unknown> {
  const answer = await fetch(address, {
    method,
    ...(method === "POST" ? { body: JSON.stringify(body ?? {}) } : {}),
  });
  const { value } = (await answer.json()) as { value: unknown };
  if (answer.ok) return value;
  const { error, message } = value as { error: string; message: string };
  throw new Error(`${error}: ${message}`);
}

class Window implements Tab {
  constructor(
    private readonly session: string,
    private readonly handle: string,
    private readonly saved: string,
  ) {}

  private async ask(path: string, body?: unknown): Promise<unknown> {
    await talk("POST", `${this.session}/window`, { handle: this.handle });
    return talk("POST", `${this.session}/${path}`, body);
  }

  async go(url: string): Promise<void> {
    await this.ask("url", { url });
  }

  async value<T>(expression: string): Promise<T> {
    const script = `const done = arguments[0];
      Promise.resolve(${expression}).then((it) => done(JSON.stringify(it ?? null)), () => done(null));`;
    const text = await this.ask("execute/async", { script, args: [] });
    if (typeof text !== "string")
      throw new Error(`it failed in the page: ${expression}`);
    return JSON.parse(text) as T;
  }

  private async element(expression: string): Promise<string> {
    const script = `return ${expression};`;
    const found = await this.ask("execute/sync", { script, args: [] });
    const id = (found as Record<string, string> | null)?.[ELEMENT];
    if (id === undefined) throw new Error(`nothing is there: ${expression}`);
    return id;
  }

  async press(expression: string): Promise<void> {
    await this.ask(`element/${await this.element(expression)}/click`);
  }

  async give(expression: string, files: readonly string[]): Promise<void> {
    const id = await this.element(expression);
    await this.ask(`element/${id}/value`, { text: files.join("\n") });
  }

  async picture(): Promise<Buffer> {
    await talk("POST", `${this.session}/window`, { handle: this.handle });
    const data = await talk("GET", `${this.session}/screenshot`);
    return Buffer.from(String(data), "base64");
  }

  async paper(): Promise<Buffer> {
    const file = join(this.saved, "printed.pdf");
    writeFileSync(join(this.saved, "print"), "");
    const whole = () =>
      existsSync(file) && readFileSync(file).includes("%%EOF");
    await expect.poll(whole, { timeout: 30_000 }).toBe(true);
    return readFileSync(file);
  }

  async close(): Promise<void> {
    await talk("POST", `${this.session}/window`, { handle: this.handle });
    await talk("DELETE", `${this.session}/window`);
  }
}

class Webkit implements Browser {
  private taken = false;

  private constructor(
    private readonly driver: ChildProcess,
    private readonly session: string,
    private readonly saved: string,
    readonly faults: string[],
  ) {}

  static readonly start: Start = async (profile, saved) => {
    mkdirSync(profile, { recursive: true });
    const binary = join(import.meta.dirname, "webkit-window.py");
    const port = await freePort();
    const driver = spawn(
      process.env.WEBKIT_DRIVER ?? "WebKitWebDriver",
      [`--port=${port}`],
      { stdio: ["ignore", "ignore", "pipe"], detached: true },
    );
    const faults: string[] = [];
    driver.stderr.on("data", (part: Buffer) => {
      for (const line of part.toString().split("\n"))
        if (/CONSOLE .*ERROR/.test(line)) faults.push(line);
    });
    const base = `http://127.0.0.1:${port}`;
    for (let tries = 0; tries < 100; tries++) {
      const up = await talk("GET", `${base}/status`).catch(() => undefined);
      if (up) break;
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
    const options = { binary, args: [profile, saved] };
    const started = (await talk("POST", `${base}/session`, {
      capabilities: {
        alwaysMatch: { "webkitgtk:browserOptions": options },
      },
    })) as { sessionId: string };
    const session = `${base}/session/${started.sessionId}`;
    await talk("POST", `${session}/timeouts`, { script: 30_000 });
    return new Webkit(driver, session, saved, faults);
  };

  async tab(): Promise<Tab> {
    if (!this.taken) {
      this.taken = true;
      const handle = await talk("GET", `${this.session}/window`);
      return new Window(this.session, String(handle), this.saved);
    }
    const made = await talk("POST", `${this.session}/window/new`, {
      type: "tab",
    });
    return new Window(
      this.session,
      (made as { handle: string }).handle,
      this.saved,
    );
  }

  async end(): Promise<void> {
    await talk("DELETE", this.session).catch(() => undefined);
    const gone = new Promise<void>((resolve) => {
      this.driver.once("exit", () => resolve());
    });
    if (this.driver.pid !== undefined) process.kill(-this.driver.pid);
    await gone;
  }
}

/** Starts WebKit. */
export const webkit: Start = Webkit.start;
