/** The journal as a file. */
import type { BackupMark } from "../../engine/types";
import { askRace, inTurn, openBase, phase, putAside, tellAge, view } from "./journal";

/** The whole journal as its file. It can be had also where nothing can be stored any more. */
export async function saveBackup(): Promise<void> {
  const text = await wholeJournal();
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "application/x-ndjson;charset=utf-8" }));
  const called = (view.value?.flock ?? "journal").replace(/[^\p{L}\p{N}-]+/gu, "-");
  link.download = `evenfold-${called}-${new Date().toISOString().slice(0, 10)}.jsonl`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  const mark: BackupMark = { ms: Date.now(), events: view.value?.events ?? 0 };
  await inTurn(async () => {
    await putAside("backup", mark);
    await tellAge(mark);
  });
}

/** The journal's file; from the store itself where the engine has lost it. */
async function wholeJournal(): Promise<string> {
  if (phase.value !== "failed") return askRace({ ask: "race file" });
  const lines = await openBase()?.lines();
  return lines?.ok ? `${lines.value.join("\n")}\n` : "";
}
