/** What stands in the way of storing, or happened while nobody looked. Never over the gate, always in sight. */
import {
  canEnter,
  letGo,
  phase,
  resumed,
  saveBackup,
  storeFault,
  unreadable,
  view,
  writes,
} from "../../store/journal/journal";
import { cameBack, given, isWritten, refused } from "../../store/journal/race";
import { en } from "../../text/en";

/** The notices. */
export function Notices() {
  const only = phase.value === "open" && !writes.value && !letGo.value && view.value !== null;
  return (
    <>
      {storeFault.value && (
        <div class="race-notice grave" role="alert">
          <p>{storeFault.value}</p>
          <button type="button" class="main" onClick={() => void saveBackup()}>
            {en.race.saveNow}
          </button>
        </div>
      )}
      {letGo.value && <Notice grave words={en.race.letGo} />}
      {only && <Notice grave words={en.race.onlyReads} />}
      {unreadable.value.length > 0 && (
        <Notice grave words={en.race.unreadable} close={() => (unreadable.value = [])} />
      )}
      {refused.value.length > 0 && (
        <Notice
          grave
          words={refused.value.map(({ message, hint }) => `${message} ${hint}`).join(" ")}
          close={() => (refused.value = [])}
        />
      )}
      {cameBack.value && <Notice words={cameBack.value} close={() => (cameBack.value = "")} />}
      {resumed.value && !cameBack.value && canEnter.value && !isWritten.value && !given.value && (
        <Notice words={resumed.value} close={() => (resumed.value = "")} />
      )}
    </>
  );
}

function Notice({ words, grave = false, close }: { words: string; grave?: boolean; close?: () => void }) {
  return (
    <div class={`race-notice${grave ? " grave" : ""}`} role={grave ? "alert" : "status"}>
      <p>{words}</p>
      {close && (
        <button type="button" class="plain" onClick={close}>
          {en.dismiss}
        </button>
      )}
    </div>
  );
}
