/** Who she is: read, written, or the next number. */
import { useState } from "preact/hooks";
import { looked, read, takeNumber, typed, wipe, isWritten } from "../../store/journal/race";
import { takeOut } from "../../store/journal/out";
import { parts } from "../../store/journal/parts";
import { nameOf } from "../../store/journal/card";
import { canEnter } from "../../store/journal/journal";
import { en } from "../../text/en";

/** The line of her identity. */
export function Identity() {
  const [written, setWritten] = useState("");
  const name = nameOf({ name: parts.name.value });
  const take = (event: Event) => {
    event.preventDefault();
    const text = written;
    setWritten("");
    void read(text);
  };
  return (
    <section class="race-who" aria-label={en.race.tag}>
      {name === "" ? (
        <form onSubmit={take}>
          <label class="unseen" for="race-tag">
            {en.race.tagHelp}
          </label>
          <input
            id="race-tag"
            type="text"
            autocomplete="off"
            autocapitalize="characters"
            spellcheck={false}
            placeholder={typed.value || en.race.tagHelp}
            value={written}
            onInput={(event) => setWritten(event.currentTarget.value)}
          />
          {written !== "" ? (
            <button type="submit" class="main">
              {en.race.take}
            </button>
          ) : (
            <button type="button" class="plain" disabled={!canEnter.value} onClick={() => void takeNumber()}>
              {en.race.number}
            </button>
          )}
        </form>
      ) : (
        <p class="race-name">
          <b class={name.length > 12 ? "long" : ""}>{looked.value?.look.ewe?.called ?? name}</b>
          <span>
            {looked.value?.look.known === "new" ? looked.value.look.words : (looked.value?.onRecord ?? "")}
          </span>
        </p>
      )}
      {name !== "" && looked.value?.stands && (
        <button
          type="button"
          class="plain wipe"
          disabled={!canEnter.value}
          aria-label={en.race.out.her(looked.value.stands)}
          onClick={() => void takeOut()}
        >
          {en.race.out.of(looked.value.stands)}
        </button>
      )}
      {isWritten.value && (
        <button type="button" class="plain wipe" onClick={wipe}>
          {en.race.wipe}
        </button>
      )}
    </section>
  );
}
