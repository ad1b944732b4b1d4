/** A browser of our own that can be killed, and the files of its stores. */
import { execFileSync, spawn, type ChildProcess } from "node:child_process";
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { chromium } from "../../www/harness.ts";
import type { Page } from "./support.ts";

/** A browser of our own on a profile of its own, in a process group of its own. */
export class Own {
  private constructor(
    private readonly child: ChildProcess,
    readonly page: Page,
  ) {}

  static async start(profile: string): Promise<Own> {
    const child = spawn(
      process.env.CHROMIUM ?? "/usr/bin/chromium",
      [
        "--headless=new",
        "--no-sandbox",
        "--no-first-run",
        "--remote-debugging-port=0",
        `--user-data-dir=${profile}`,
        "about:blank",
      ],
      { detached: true, stdio: ["ignore", "ignore", "pipe"] },
    );
    const address = await new Promise<string>((resolve, reject) => {
      let said = "";
      child.stderr.on("data", (part: Buffer) => {
        said += part.toString();
        const found = /ws:\/\/\S+/.exec(said);
        if (found) resolve(found[0]);
      });
      child.on("exit", () => reject(new Error(said)));
    });
    const browser = await chromium.connectOverCDP(address);
    const context = browser.contexts()[0];
    const page = context?.pages()[0] ?? (await context?.newPage());
    if (!page) throw new Error("the browser has no page");
    return new Own(child, page);
  }

  /** What the page's process holds in memory, in MB; NaN where the system has no `ps` that tells. */
  memory(): number {
    try {
      const all = execFileSync("ps", ["-eo", "pgid=,rss=,args="], {
        encoding: "utf8",
      });
      const kilobytes = all
        .split("\n")
        .map((line) => line.trim().split(/\s+/, 2).concat(line))
        .filter(
          ([group, , line]) =>
            group === String(this.child.pid) &&
            line?.includes("--type=renderer"),
        )
        .map(([, resident]) => Number(resident));
      return Math.max(...kilobytes) / 1024;
    } catch {
      return NaN;
    }
  }

  /** SIGKILL to this browser's whole group, and to no other. */
  kill(): Promise<void> {
    const gone = new Promise<void>((resolve) => {
      this.child.once("exit", () => resolve());
    });
    if (this.child.pid !== undefined) process.kill(-this.child.pid, "SIGKILL");
    return gone;
  }
}

/** The newest log of each of a profile's two copies of the journal. */
export function logs(profile: string): { first: string; second: string } {
  const folder = join(profile, "Default");
  const bucket = readdirSync(join(folder, "WebStorage"))
    .map((name) =>
      join(folder, "WebStorage", name, "IndexedDB", "indexeddb.leveldb"),
    )
    .find((path) => newest(path) !== undefined);
  const first = newest(join(folder, "IndexedDB", "file__0.indexeddb.leveldb"));
  const second = bucket === undefined ? undefined : newest(bucket);
  if (first === undefined || second === undefined)
    throw new Error("a copy of the journal has no log");
  return { first, second };
}

function newest(folder: string): string | undefined {
  try {
    const found = readdirSync(folder).filter((name) => name.endsWith(".log"));
    const last = found.sort().at(-1);
    return last === undefined ? undefined : join(folder, last);
  } catch {
    return undefined;
  }
}
