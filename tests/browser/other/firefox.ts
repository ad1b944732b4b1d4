/** Firefox, driven over WebDriver BiDi, which it speaks by itself. */
import { spawn, type ChildProcess } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { WebSocket } from "../../../www/harness.ts";
import type { Browser, Start, Tab } from "./visit.ts";

/**
 * How Firefox is set up. What a driven Firefox sets by itself is left out, since it lets pages of file:// read each
 * other; what remains is as a person has it, without first-run pages.
 */
const settings = (
  saved: string,
): Record<string, string | number | boolean> => ({
  "remote.prefs.recommended": false,
  "security.fileuri.strict_origin_policy": true,
  "browser.shell.checkDefaultBrowser": false,
  "browser.aboutwelcome.enabled": false,
  "browser.startup.page": 0,
  "browser.startup.homepage_override.mstone": "ignore",
  "datareporting.policy.dataSubmissionEnabled": false,
  "termsofuse.bypassNotification": true,
  "toolkit.telemetry.reportingpolicy.firstRun": false,
  "app.update.disabledForTesting": true,
  "app.normandy.enabled": false,
  "network.captive-portal-service.enabled": false,
  "network.connectivity-service.enabled": false,
  "browser.download.folderList": 2,
  "browser.download.dir": saved,
  "browser.download.useDownloadDir": true,
  "browser.download.alwaysOpenPanel": false,
});

type Answer = Record<string, unknown>;

/** The line to the browser: commands with numbers, answers and events. */
class Line {
  private last = 0;
  private readonly waiting = new Map<
    number,
    { done: (answer: Answer) => void; failed: (error: Error) => void }
  >();

  private constructor(
    private readonly socket: WebSocket,
    hear: (method: string, event: Answer) => void,
  ) {
    socket.addEventListener("message", ({ data }) => {
      const told = JSON.parse(String(data)) as {
        id?: number;
        method?: string;
        params?: Answer;
        result?: Answer;
        message?: string;
      };
      if (told.id === undefined) {
        hear(told.method ?? "", told.params ?? {});
        return;
      }
      const waits = this.waiting.get(told.id);
      this.waiting.delete(told.id);
      if (told.result) waits?.done(told.result);
      else waits?.failed(new Error(told.message));
    });
    socket.addEventListener("close", () => {
      for (const { failed } of this.waiting.values())
        failed(new Error("the browser has gone"));
    });
  }

  static open(
    address: string,
    hear: (method: string, event: Answer) => void,
  ): Promise<Line> {
    const socket = new WebSocket(address);
    return new Promise((resolve, reject) => {
      socket.addEventListener("open", () => resolve(new Line(socket, hear)));
      socket.addEventListener("error", () =>
        reject(new Error(`${address} does not answer`)),
      );
    });
  }

  send(method: string, params: Answer): Promise<Answer> {
    const id = ++this.last;
    this.socket.send(JSON.stringify({ id, method, params }));
    return new Promise((done, failed) =>
      this.waiting.set(id, { done, failed }),
    );
  }
}

class Window implements Tab {
  constructor(
    private readonly line: Line,
    private readonly context: string,
  ) {}

  private ask(method: string, params: Answer = {}): Promise<Answer> {
    return this.line.send(method, { context: this.context, ...params });
  }

  async go(url: string): Promise<void> {
    await this.ask("browsingContext.navigate", { url, wait: "complete" });
  }

  private async evaluate(expression: string): Promise<Answer> {
    const answer = await this.line.send("script.evaluate", {
      expression,
      target: { context: this.context },
      awaitPromise: true,
      userActivation: true,
    });
    if (answer.type === "success") return answer.result as Answer;
    const { text } = answer.exceptionDetails as { text: string };
    throw new Error(text);
  }

  async value<T>(expression: string): Promise<T> {
    const asText = `Promise.resolve(${expression}).then((it) => JSON.stringify(it ?? null))`;
    return JSON.parse(String((await this.evaluate(asText)).value)) as T;
  }

  private async element(expression: string): Promise<Answer> {
    const { type, sharedId } = await this.evaluate(expression);
    if (type !== "node") throw new Error(`nothing is there: ${expression}`);
    return { sharedId };
  }

  async press(expression: string): Promise<void> {
    const element = await this.element(expression);
    await this.evaluate(
      `(${expression}).scrollIntoView({ block: "center", behavior: "instant" })`,
    );
    const origin = { type: "element", element };
    await this.ask("input.performActions", {
      actions: [
        {
          type: "pointer",
          id: "finger",
          parameters: { pointerType: "touch" },
          actions: [
            { type: "pointerMove", x: 0, y: 0, origin },
            { type: "pointerDown", button: 0 },
            { type: "pointerUp", button: 0 },
          ],
        },
      ],
    });
  }

  async give(expression: string, files: readonly string[]): Promise<void> {
    const element = await this.element(expression);
    await this.ask("input.setFiles", { element, files });
  }

  async picture(): Promise<Buffer> {
    const { data } = await this.ask("browsingContext.captureScreenshot");
    return Buffer.from(String(data), "base64");
  }

  async paper(): Promise<Buffer> {
    const { data } = await this.ask("browsingContext.print", {
      page: { width: 21, height: 29.7 },
    });
    return Buffer.from(String(data), "base64");
  }

  async close(): Promise<void> {
    await this.ask("browsingContext.close");
  }
}

class Firefox implements Browser {
  private constructor(
    private readonly child: ChildProcess,
    private readonly line: Line,
    readonly faults: string[],
  ) {}

  static readonly start: Start = async (profile, saved) => {
    mkdirSync(profile, { recursive: true });
    const lines = Object.entries(settings(saved)).map(
      ([name, value]) => `user_pref("${name}", ${JSON.stringify(value)});`,
    );
    writeFileSync(join(profile, "user.js"), lines.join("\n"));
    const child = spawn(
      process.env.FIREFOX ?? "firefox-esr",
      [
        "--headless",
        "--no-remote",
        "--profile",
        profile,
        "--remote-debugging-port=0",
      ],
      { stdio: ["ignore", "ignore", "pipe"] },
    );
    const address = await new Promise<string>((resolve, reject) => {
      let said = "";
      child.stderr.on("data", (part: Buffer) => {
        said += part.toString();
        const found = /ws:\/\/\S+/.exec(said);
        if (found) resolve(found[0]);
      });
      child.on("error", reject);
      child.on("exit", () => reject(new Error(`it ended: ${said}`)));
    });
    const faults: string[] = [];
    const line = await Line.open(`${address}/session`, (method, event) => {
      // Warnings are the browser's own affair; errors are not.
      if (method === "log.entryAdded" && event.level === "error")
        faults.push(String(event.text));
    });
    await line.send("session.new", { capabilities: {} });
    await line.send("session.subscribe", { events: ["log.entryAdded"] });
    return new Firefox(child, line, faults);
  };

  async tab(): Promise<Tab> {
    const { context } = await this.line.send("browsingContext.create", {
      type: "tab",
    });
    await this.line.send("browsingContext.setViewport", {
      context,
      viewport: { width: 768, height: 1024 },
      devicePixelRatio: 1,
    });
    return new Window(this.line, String(context));
  }

  async end(): Promise<void> {
    const gone = new Promise<void>((resolve) => {
      this.child.once("exit", () => resolve());
    });
    await this.line.send("browser.close", {}).catch(() => undefined);
    await gone;
  }
}

/** Starts Firefox. */
export const firefox: Start = Firefox.start;
