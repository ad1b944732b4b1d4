/*
 * Keeps Evenfold on this device, so that it opens without a network. It sends nothing anywhere.
 *
 * Each version of the site is stored whole under a name of its own, or not at all. A newer one waits until the person
 * asks for it; until then the old one goes on, whole as well.
 */
const KEPT = "evenfold-site-VERSION_OF_THE_FILES";
const FILES = ["./", "evenfold.webmanifest", "icon.svg"];
// Their names tell their contents, so what the page has just fetched need not come again.
const PARTS = ["PARTS_OF_THE_ENGINE"];

self.addEventListener("install", (event) => {
  // All of them, as they are now where they come from; if one fails, nothing is installed and the old version stays.
  const fresh = FILES.map((file) => new Request(file, { cache: "no-cache" }));
  event.waitUntil(caches.open(KEPT).then((kept) => kept.addAll([...fresh, ...PARTS])));
});

self.addEventListener("activate", (event) => {
  const older = (name) => name.startsWith("evenfold-site-") && name !== KEPT;
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter(older).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || new URL(request.url).origin !== self.location.origin) return;
  const known = caches.open(KEPT).then((kept) => kept.match(request, { ignoreSearch: true }));
  event.respondWith(known.then((found) => found ?? fetch(request)));
});

// The person asked for the version that waits.
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});
