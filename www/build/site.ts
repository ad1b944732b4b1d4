/** The page as a site that a tablet installs: the same page, a manifest, a sign, and the script that keeps them. */
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";

const read = (name: string) => readFileSync(join(import.meta.dirname, "site", name), "utf8");

/** The site's files by name, from the finished page. */
export function site(page: string): Record<string, string> {
  const index = page
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
  const sum = createHash("sha256").update(Object.values(files).join("")).digest("hex").slice(0, 12);
  const keeper = read("keep.js").replace("VERSION_OF_THE_FILES", sum);
  return Object.fromEntries(
    Object.entries({ ...files, "keep.js": keeper }).map(([name, text]) => [`site/${name}`, text]),
  );
}
