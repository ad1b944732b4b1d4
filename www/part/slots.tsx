/** The slots for the lists: drop them, or choose them. */
import { useState } from "preact/hooks";
import { files, KINDS, place, put, SLOTS, take, unplaced, type Picked, type Slot } from "../store/files";
import { en } from "../text/en";

/** Everything there is to give files. */
export function Slots() {
  const [over, setOver] = useState(false);
  const drop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    if (event.dataTransfer) void take(event.dataTransfer.files);
  };
  return (
    <div
      class={`slots${over ? " over" : ""}`}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={drop}
    >
      <p class="quiet" id="files-help">
        {en.start.filesHelp}
      </p>
      <label class="button plain all">
        {en.start.pickAll}
        <input
          type="file"
          multiple
          accept={KINDS}
          aria-describedby="files-help"
          onChange={(event) => {
            void take(event.currentTarget.files ?? []);
            event.currentTarget.value = "";
          }}
        />
      </label>
      {unplaced.value.map((file) => (
        <Ask key={file.name} file={file} />
      ))}
      <ul>
        {SLOTS.map((slot) => (
          <One key={slot} slot={slot} />
        ))}
      </ul>
    </div>
  );
}

function One({ slot }: { slot: Slot }) {
  const file = files[slot].value;
  const name = en.start.slots[slot];
  return (
    <li class={file ? "full" : ""}>
      <p>
        <b>{name}</b> {slot === "groups" && <span class="quiet">{en.start.optional}</span>}
        <span class="words">{file ? file.name : en.start.slotHelp[slot]}</span>
      </p>
      <span class="acts">
        <label class="button plain">
          {file ? en.start.change : en.start.pick}
          <span class="unseen"> {name}</span>
          <input
            type="file"
            accept={KINDS}
            data-slot={slot}
            onChange={(event) => {
              const picked = event.currentTarget.files?.[0];
              if (picked) void put(slot, picked);
              event.currentTarget.value = "";
            }}
          />
        </label>
        {file && (
          <button type="button" class="plain" onClick={() => (files[slot].value = null)}>
            {en.start.remove}
            <span class="unseen"> {name}</span>
          </button>
        )}
      </span>
    </li>
  );
}

/** Asks what a list is whose name does not say it. */
function Ask({ file }: { file: Picked }) {
  return (
    <fieldset class="ask">
      <legend>{en.start.whatIs(file.name)}</legend>
      {SLOTS.map((slot) => (
        <button type="button" class="plain" key={slot} onClick={() => place(file, slot)}>
          {en.start.slots[slot]}
        </button>
      ))}
      <button type="button" class="plain" onClick={() => place(file, null)}>
        {en.start.notNeeded}
      </button>
    </fieldset>
  );
}
