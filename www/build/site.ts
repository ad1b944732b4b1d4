/** The page as a site that a tablet installs: the same page, a manifest, a sign, and the script that keeps them. */
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";

const read = (name: string) => readFileSync(join(import.meta.dirname, "site", name), "utf8");

/** What stands in the page's place of the engine, and in a file of its own here. */
const ENGINE = /(<script type="text\/plain" id="engine")>[^<]*/;

/**
 * The site's files by name, from the finished page and the packed engine. The engine is a file of its own: as signs in a
 * page it is a seventh longer. Its name ends in nothing that a server knows, so that none unpacks it on the way.
 */
export function site(page: string, engine: Uint8Array): Record<string, string | Uint8Array> {
  const index = page
    .replace(ENGINE, '$1 data-file="engine.bin">')
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
  const sum = createHash("sha256")
    .update(Object.values(files).join(""))
    .update(engine)
    .digest("hex")
    .slice(0, 12);
  const keeper = read("keep.js").replace("VERSION_OF_THE_FILES", sum);
  return Object.fromEntries(
    Object.entries({ ...files, "keep.js": keeper, "engine.bin": engine }).map(([name, text]) => [
      `site/${name}`,
      text,
    ]),
  );
}
