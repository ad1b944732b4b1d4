import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { join, resolve, sep } from "node:path";
import { gzipAsync } from "@gfx/zopfli";
import { defineConfig, type Plugin } from "vite";
import { site } from "./build/site";

const here = import.meta.dirname;
const generated = resolve(here, "engine/generated");
const engine = join(generated, "evenfold_bg.wasm");

/** What unpacks the page's style and script. It is held small, since it alone stands in the file as it is. */
const OPENER = `(async () => {
  const unpacked = async (id, as) => {
    const packed = document.getElementById(id).textContent;
    const bytes = new Uint8Array((packed.length * 7) >> 3);
    for (let at = 0, to = 0, held = 0, bits = 0; at < packed.length; at++) {
      held = ((held << 7) | (packed.charCodeAt(at) & 127)) & 32767;
      bits += 7;
      if (bits >= 8) bytes[to++] = held >> (bits -= 8);
    }
    const packer = new DecompressionStream("gzip");
    const into = packer.writable.getWriter();
    into.write(bytes).catch(() => {});
    into.close().catch(() => {});
    const element = document.createElement(as);
    element.textContent = await new Response(packer.readable).text();
    return element;
  };
  try {
    const [style, script] = await Promise.all([unpacked("style", "style"), unpacked("script", "script")]);
    document.head.append(style);
    document.body.append(script);
  } catch {
    document.getElementById("too-old").hidden = false;
  }
})();`;

/**
 * Bytes as text for a page in UTF-8, seven bits a sign, so that a fifth of base64's length is saved. Three signs do
 * not survive in a page as they are (nought, the carriage return, and `<`, which could end the script): they stand
 * with 128 added, which takes two bytes and falls away when the seven bits are read.
 */
function sevenBits(bytes: Uint8Array): string {
  let text = "";
  let [held, bits] = [0, 0];
  const put = (sign: number) => {
    text += String.fromCharCode(sign === 0 || sign === 13 || sign === 60 ? sign + 128 : sign);
  };
  for (const byte of bytes) {
    held = ((held << 8) | byte) & 32767;
    bits += 8;
    while (bits >= 7) put((held >> (bits -= 7)) & 127);
  }
  if (bits > 0) put((held << (7 - bits)) & 127);
  return text;
}

/**
 * One file for everything: style, script and engine as gzip in signs of seven bits; style and script named by hash in
 * the policy.
 */
function oneFile(): Plugin {
  return {
    name: "evenfold-one-file",
    enforce: "post",
    async generateBundle(_, bundle) {
      if (!existsSync(engine)) this.error("the engine is not there yet: run `cargo xtask app`");
      const page = bundle["index.html"];
      if (page?.type !== "asset") this.error("the page was not built");
      let script = "";
      let style = "";
      const modules = new Set<string>();
      for (const [name, part] of Object.entries(bundle)) {
        if (part.type === "chunk") {
          script += part.code;
          Object.keys(part.modules).forEach((module) => modules.add(module));
        } else if (name.endsWith(".css")) {
          style += String(part.source);
        } else if (name !== "index.html") {
          this.error(`${name} would not be inside the page`);
        }
        if (name !== "index.html") Reflect.deleteProperty(bundle, name);
      }
      // An element's text is read back with every line ending as one sign.
      script = script.trim().replaceAll("\r\n", "\n");
      style = style.trim();
      // Zopfli writes the same format as gzip at its best, a tenth shorter; it takes seconds, once a build.
      const encoder = new TextEncoder();
      const gzip = (what: Uint8Array) => gzipAsync(what, { numiterations: 5 });
      const pack = async (what: string) => sevenBits(await gzip(encoder.encode(what)));
      const [packedStyle, packedScript] = [await pack(style), await pack(script)];
      const packedEngine = sevenBits(await gzip(readFileSync(engine)));
      const names = readdirSync(generated).filter((name) => /^part_\d+\.wasm$/.test(name));
      const parts = await Promise.all(names.sort().map((name) => gzip(readFileSync(join(generated, name)))));
      page.fileName = "evenfold.html";
      page.source = String(page.source)
        .replace(/\s*<script type="module"[^>]*><\/script>/, "")
        .replace(/\s*<link rel="stylesheet"[^>]*>/, "")
        .replace("</title>", () => `</title>\n    ${policy(script, style)}`)
        .replace(
          "</body>",
          () =>
            `<script type="text/plain" id="style">${packedStyle}</script>\n` +
            `<script type="text/plain" id="script">${packedScript}</script>\n<script>${OPENER}</script>\n` +
            `<script type="text/plain" id="engine">${packedEngine}</script>\n${licences(modules)}\n</body>`,
        );
      for (const [fileName, source] of Object.entries(site(page.source, parts))) {
        this.emitFile({ type: "asset", fileName, source });
      }
    },
  };
}

/** No request of any kind; only this very script and style. */
function policy(script: string, style: string): string {
  const hash = (text: string) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
  const rules = [
    "default-src 'none'",
    `script-src ${hash(OPENER)} ${hash(script)} 'wasm-unsafe-eval'`,
    `style-src ${hash(style)}`,
    "worker-src blob:",
    "img-src data: blob:",
    "font-src data:",
    "base-uri 'none'",
    "form-action 'none'",
  ];
  return `<meta http-equiv="Content-Security-Policy" content="${rules.join("; ")}" />`;
}

/** The licences of the packages whose code is in the script, as they ask. */
function licences(modules: Set<string>): string {
  const packages = new Set(["@fontsource/atkinson-hyperlegible"]);
  for (const module of modules) {
    const path = module.split(`${sep}node_modules${sep}`)[1]?.split(sep);
    if (path) packages.add(path[0]?.startsWith("@") ? `${path[0]}/${path[1] ?? ""}` : (path[0] ?? ""));
  }
  // Licences that differ in nothing but whose they are stand once, under all their names.
  const byText = new Map<string, string[]>();
  for (const name of [...packages].sort()) {
    const folder = join(here, "node_modules", name);
    const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
    const lines = file ? readFileSync(join(folder, file), "utf8").trim().split(/\r?\n/) : [];
    const isWhose = (line: string) => /^copyright (\(c\) )?\d{4}/i.test(line);
    const rest = lines.filter((line) => !isWhose(line)).join("\n");
    const text = rest.replace(/\n{3,}/g, "\n\n").trim();
    byText.set(text, [...(byText.get(text) ?? []), [name, ...lines.filter(isWhose)].join(": ")]);
  }
  const texts = [...byText].map(([text, whose]) => `${whose.join("\n")}\n\n${text}`);
  return `<!--\nThis page contains:\n\n${texts.join("\n\n").replaceAll("--", "- -")}\n-->`;
}

/** Version and day of what is built; the day only where the repository's history is there to tell. */
function version(): string {
  const { version } = JSON.parse(readFileSync(join(here, "package.json"), "utf8")) as { version: string };
  try {
    const day = execFileSync("git", ["log", "-1", "--format=%cs"], { cwd: here, encoding: "utf8" }).trim();
    return `${version}, ${new Date(day).toLocaleDateString("en-GB", { dateStyle: "long", timeZone: "UTC" })}`;
  } catch {
    return version;
  }
}

export default defineConfig({
  root: here,
  define: { EVENFOLD_VERSION: JSON.stringify(version()) },
  base: "./",
  resolve: { alias: { "evenfold-engine": resolve(here, "engine/generated/evenfold.js") } },
  build: {
    target: "es2022",
    assetsInlineLimit: 1_000_000,
    cssCodeSplit: false,
    modulePreload: false,
    rolldownOptions: { output: { format: "iife" } },
  },
  worker: { format: "iife" },
  plugins: [oneFile()],
});
