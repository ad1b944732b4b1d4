/** The installed site: whether it is kept on this device, and whether a newer version waits. A file needs none of it. */
import { signal } from "@preact/signals";

declare const EVENFOLD_VERSION: string;

/** Version and day of this page. */
export const version = EVENFOLD_VERSION;

/** Whether the site was stored on this device just now, for the first time. */
export const keptNow = signal(false);

/** Whether the site is stored on this device. */
export const kept = signal(false);

/** The version that waits until somebody asks for it. */
export const newer = signal<ServiceWorker | null>(null);

/** Whether this is the site, opened in a browser's window and not from the device's own start screen. */
export const canInstall = () => isSite() && !matchMedia("(display-mode: standalone)").matches;

const isSite = () => document.querySelector("link[rel=manifest]") !== null && "serviceWorker" in navigator;

/** Has the browser keep the site, and watches for newer versions. */
export async function keepSite(): Promise<void> {
  if (!isSite()) return;
  const isFirst = navigator.serviceWorker.controller === null;
  try {
    const known = await navigator.serviceWorker.register("keep.js");
    const look = () => {
      // With nothing active yet, what waits is this very version.
      newer.value = known.active && !isFirst ? known.waiting : null;
    };
    look();
    known.addEventListener("updatefound", () => {
      known.installing?.addEventListener("statechange", look);
    });
    await navigator.serviceWorker.ready;
    kept.value = true;
    keptNow.value = isFirst;
  } catch {
    // Without it the site is a page like any other.
  }
}

/** Goes over to the version that waits: only ever by the person's wish. */
export function takeNewer(): void {
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
  newer.value?.postMessage("take over");
}
