/** The built site on a server of the tests' own. */
import { createHash } from "node:crypto";
import {
  cpSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { BUILT, expect } from "./support.ts";

const KINDS: Record<string, string> = {
  html: "text/html; charset=utf-8",
  js: "text/javascript; charset=utf-8",
  svg: "image/svg+xml",
  webmanifest: "application/manifest+json",
};

/** The built site on a server of our own, which can be changed, made to fail, and stopped. */
export class Site {
  readonly folder = mkdtempSync(join(tmpdir(), "evenfold-site-"));
  /** A file for which the server answers with an error. */
  broken = "";
  /** A file that takes two seconds. */
  slow = "";
  /** What was asked for, in order. */
  readonly asked: string[] = [];
  /** What was sent, in order; what the browser had already is not sent again. */
  readonly sent: string[] = [];
  private server: Server | undefined;
  private port = 0;

  constructor() {
    cpSync(join(dirname(BUILT), "site"), this.folder, { recursive: true });
  }

  get address(): string {
    return `http://localhost:${this.port}/`;
  }

  async start(): Promise<void> {
    this.server = createServer((request, response) => {
      const name = (request.url ?? "/").slice(1).split("?")[0] || "index.html";
      this.asked.push(name);
      try {
        if (name === this.broken) throw new Error("made to fail");
        const body = readFileSync(join(this.folder, name));
        const kind = KINDS[name.split(".").at(-1) ?? ""] ?? "text/plain";
        const etag = `"${createHash("sha256").update(body).digest("hex")}"`;
        const head = {
          "content-type": kind,
          "cache-control": "no-cache",
          etag,
        };
        if (request.headers["if-none-match"] === etag) {
          response.writeHead(304, head).end();
        } else {
          setTimeout(
            () => {
              this.sent.push(name);
              response.writeHead(200, head).end(body);
            },
            name === this.slow ? 2000 : 0,
          );
        }
      } catch {
        response.writeHead(500).end();
      }
    });
    await new Promise<void>((resolve) =>
      this.server?.listen(this.port, "127.0.0.1", resolve),
    );
    this.port = (this.server.address() as AddressInfo).port;
  }

  async stop(): Promise<void> {
    this.server?.closeAllConnections();
    await new Promise((resolve) => this.server?.close(resolve));
  }

  /** The engine's parts, the race's first. */
  get parts(): string[] {
    return readdirSync(this.folder)
      .filter((name) => name.startsWith("engine-"))
      .sort();
  }

  /** How much these files are, as they lie. */
  size(names: string[]): number {
    return names
      .map((name) => statSync(join(this.folder, name)).size)
      .reduce((all, size) => all + size, 0);
  }

  /** Takes its folder away. */
  remove(): void {
    rmSync(this.folder, { recursive: true, force: true });
  }

  /** A newer version: the page says another number, and the keeper another sum. */
  renew(sum: string): void {
    const change = (name: string, from: RegExp, to: string) => {
      const path = join(this.folder, name);
      const text = readFileSync(path, "utf8");
      expect(text).toMatch(from);
      writeFileSync(path, text.replace(from, to));
    };
    change("index.html", /<title>[^<]*<\/title>/, `<title>${sum}</title>`);
    change("keep.js", /evenfold-site-[0-9a-z]+/, `evenfold-site-${sum}`);
  }
}
