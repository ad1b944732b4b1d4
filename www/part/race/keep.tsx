/** Backup and restore. */
import { useState } from "preact/hooks";
import type { Restored } from "../../engine/types";
import { saveBackup } from "../../store/journal/backup";
import { backup, once, view } from "../../store/journal/journal";
import { restore } from "../../store/journal/lists";
import { protectedHere } from "../../store/journal/protect";
import { en } from "../../text/en";

/** The section. */
export function Keep() {
  const [asked, setAsked] = useState<{ bytes: Uint8Array; words: string } | null>(null);
  const [said, setSaid] = useState("");
  const took = (restored: Restored | null, bytes: Uint8Array) => {
    if (restored?.kind === "other_flock") setAsked({ bytes, words: restored.words });
    else {
      setAsked(null);
      if (restored)
        setSaid([restored.reply.words, ...restored.reply.problems.map(({ message }) => message)].join(" "));
    }
  };
  return (
    <section>
      <h2>{en.race.keep.title}</h2>
      <p class={backup.value?.remind ? "race-remind" : ""}>{backup.value?.words}</p>
      {protectedHere.value === false && <p class="race-unprotected">{en.race.keep.unprotected}</p>}
      {once.value && <p class="race-unprotected race-once">{en.race.keep.once}</p>}
      <div class="race-acts-row">
        <button
          type="button"
          class={backup.value?.remind ? "main" : "plain"}
          onClick={() => void saveBackup()}
        >
          {en.race.keep.save}
        </button>
        <label class="button plain">
          {view.value?.is_empty ? en.race.start.backup : en.race.keep.open}
          <input
            type="file"
            data-race="backup"
            accept=".jsonl,.txt,.ndjson"
            onChange={(event) => {
              const input = event.currentTarget;
              const file = input.files?.[0];
              if (!file) return;
              void file.arrayBuffer().then(async (buffer) => {
                input.value = "";
                const bytes = new Uint8Array(buffer);
                took(await restore(bytes, false), bytes);
              });
            }}
          />
        </label>
      </div>
      {asked && (
        <div class="race-ask" role="alert">
          <p>{asked.words}</p>
          <div>
            <button
              type="button"
              class="main"
              onClick={() => void restore(asked.bytes, true).then((to) => took(to, asked.bytes))}
            >
              {en.race.keep.other}
            </button>
            <button type="button" class="plain" onClick={() => setAsked(null)}>
              {en.race.keep.not}
            </button>
          </div>
        </div>
      )}
      <p role="status">{said}</p>
    </section>
  );
}
