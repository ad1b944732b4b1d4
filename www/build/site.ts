/** The page as a site that a tablet installs: the same page, a manifest, a sign, and the script that keeps them. */
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";

const read = (name: string) => readFileSync(join(import.meta.dirname, "site", name), "utf8");

/** What stands in the page's place of the engine, and in a file of its own here. */
const ENGINE = /(<script type="text\/plain" id="engine")>[^<]*/;

/** A file's sum, in as many signs as tell versions apart. */
const sumOf = (...files: (string | Uint8Array)[]) =>
  files
    .reduce((hash, file) => hash.update(file), createHash("sha256"))
    .digest("hex")
    .slice(0, 12);

/**
 * The site's files by name, from the finished page and the packed parts of the engine. They are files of their own: as
 * signs in a page they are a seventh longer, and the race needs only the first. Each carries its sum in its name, so that
 * no part ever meets one of another version. The names end in nothing that a server knows, so that none unpacks them on
 * the way.
 */
export function site(page: string, parts: Uint8Array[]): Record<string, string | Uint8Array> {
  const engine = Object.fromEntries(
    parts.map((part, number) => [`engine-${number}-${sumOf(part)}.bin`, part]),
  );
  const index = page
    .replace(ENGINE, `$1 data-files="${Object.keys(engine).join(" ")}">`)
    .replace("base-uri 'none'", "connect-src 'self'; base-uri 'none'")
    .replace("worker-src blob:", "worker-src blob: 'self'; manifest-src 'self'")
    .replace(/<link rel="icon"[^>]*>/, '<link rel="icon" href="icon.svg" />')
    .replace("img-src data: blob:", "img-src 'self' data: blob:")
    .replace(
      "</title>",
      '</title>\n    <link rel="manifest" href="evenfold.webmanifest" />\n    <link rel="apple-touch-icon" href="icon.svg" />',
    );
  const files = {
    "index.html": index,
    "icon.svg": read("icon.svg"),
    "evenfold.webmanifest": read("evenfold.webmanifest"),
  };
  // A browser takes a site for new when a byte of this script is new; so it carries the sum of all the rest.
  const keeper = read("keep.js")
    .replace("VERSION_OF_THE_FILES", sumOf(...Object.values(files), ...parts))
    .replace(
      '"PARTS_OF_THE_ENGINE"',
      Object.keys(engine)
        .map((name) => `"${name}"`)
        .join(", "),
    );
  return Object.fromEntries(
    Object.entries({ ...files, "keep.js": keeper, ...engine }).map(([name, content]) => [
      `site/${name}`,
      content,
    ]),
  );
}
