/** What is stored, on its way to the engine: fetched by the engine's own thread, or by the page where that cannot. */
import type { TakeReply } from "../../engine/types";
import type { Done } from "./base";
import type { Copies } from "./copies";
import { askRace } from "./journal";

/** Has the engine hear the store on its own thread. */
export async function hearThere(): Promise<number | null> {
  const [, count] = await Promise.all([askRace({ ask: "race forget" }), askRace({ ask: "race hear store" })]);
  return count;
}

/** Has the engine take in what it heard; where it heard nothing the page reads the store, both copies. */
export async function hear(from: Copies, there: Promise<number | null>): Promise<Done<TakeReply | null>> {
  if (await there) return { ok: true, value: await askRace({ ask: "race take heard" }) };
  const heard: Promise<unknown>[] = [askRace({ ask: "race forget" })];
  const read = await from.read((lines) => {
    if (lines.length > 0) heard.push(askRace({ ask: "race hear", lines }));
  });
  await Promise.all(heard);
  if (!read.ok) return read;
  return { ok: true, value: heard.length > 1 ? await askRace({ ask: "race take heard" }) : null };
}
