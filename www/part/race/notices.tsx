/** What stands in the way of storing, or happened while nobody looked. Never over the gate, always in sight. */
import {
  canEnter,
  letGo,
  openJournal,
  phase,
  lostCopy,
  storeFault,
  unreadable,
  waits,
  writes,
} from "../../store/journal/journal";
import { cable, heardBack } from "../../store/journal/cable";
import { cameBack, given, isWritten, refused } from "../../store/journal/race";
import { computed } from "@preact/signals";
import { saveBackup } from "../../store/journal/backup";
import { en } from "../../text/en";

const tellsLost = computed(
  () => lostCopy.value !== "" && canEnter.value && !isWritten.value && given.value === null,
);

/** The gravest of the notices: one at a time, so that the gate keeps its place. */
export function Notices() {
  if (storeFault.value)
    return (
      <div class="race-notice grave" role="alert">
        <p>{storeFault.value}</p>
        {(phase.value === "failed" || (!writes.value && !waits.value)) && (
          <button type="button" class="plain" onClick={() => void openJournal()}>
            {en.race.retry}
          </button>
        )}
        <button type="button" class="main" onClick={() => void saveBackup()}>
          {en.race.saveNow}
        </button>
      </div>
    );
  if (letGo.value) return <Notice grave words={en.race.letGo} />;
  if (refused.value.length > 0) {
    const words = refused.value.map(({ message, hint }) => `${message} ${hint}`).join(" ");
    return <Notice grave brief words={words} close={() => (refused.value = [])} />;
  }
  if (phase.value === "open" && !writes.value && waits.value)
    return <Notice grave words={en.race.onlyReads} />;
  if (unreadable.value.length > 0)
    return <Notice grave words={en.race.unreadable} close={() => (unreadable.value = [])} />;
  if (cable.value.state === "lost") return <Notice grave words={en.race.cable.lost} />;
  if (cable.value.state === "back") return <Notice words={en.race.cable.back} close={heardBack} />;
  if (cameBack.value) return <Notice words={cameBack.value} close={() => (cameBack.value = "")} />;
  if (tellsLost.value) return <Notice words={lostCopy.value} close={() => (lostCopy.value = "")} />;
  return null;
}

interface Told {
  words: string;
  grave?: boolean;
  /** Whether it is over with the next read or tap. */
  brief?: boolean;
  close?: () => void;
}

function Notice({ words, grave = false, brief = false, close }: Told) {
  return (
    <div
      class={`race-notice${grave ? " grave" : ""}${brief ? " brief" : ""}`}
      role={grave ? "alert" : "status"}
    >
      <p>{words}</p>
      {close && (
        <button type="button" class="plain" onClick={close}>
          {en.dismiss}
        </button>
      )}
    </div>
  );
}
