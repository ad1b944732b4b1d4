/** The list of the feeds on the farm: the plan and the ration both stand on it. It lives in memory only. */
import { signal } from "@preact/signals";
import { askedAlone } from "./aside";
import { read, type Picked } from "./files";
import { en } from "../text/en";

/** The list. */
export const feeds = signal<Picked | null>(null);

/** Takes the person's list. */
export async function takeFeeds(file: File): Promise<void> {
  feeds.value = await read(file);
}

/** Takes the demo's invented feeds. */
export async function takeDemoFeeds(): Promise<void> {
  const list = await askedAlone("", { ask: "demo feeds" });
  if (list !== undefined) feeds.value = { name: en.plan.demoFeeds, bytes: new TextEncoder().encode(list) };
}
