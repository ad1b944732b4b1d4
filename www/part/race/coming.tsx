/** How many come, and how many ways the gate has. */
import { useState } from "preact/hooks";
import { change, settings, view } from "../../store/journal/journal";
import { en } from "../../text/en";

const words = en.race.gateOf;

/** The section. */
export function Coming() {
  const known = settings.value;
  if (!known) return null;
  const ways = known.ways ?? 0;
  return (
    <section>
      <h2>{words.title}</h2>
      <p>{view.value?.stands_on}</p>
      <div class="race-days">
        <Whole of="expected" value={known.expected} />
        <Whole of="ewe_lambs" value={known.ewe_lambs} />
      </div>
      <fieldset class="race-ways">
        <legend>{words.ways}</legend>
        {[0, 2, 3].map((count) => (
          <button
            key={count}
            type="button"
            aria-pressed={ways === count}
            onClick={() => tell("ways", count || undefined)}
          >
            {words.way(count)}
          </button>
        ))}
      </fieldset>
      {view.value?.ways.map((way) => (
        <p key={way.way.letter}>
          <b>{way.way.arrow}</b> {way.words}
        </p>
      ))}
    </section>
  );
}

/** What is not said is left to the engine. */
function tell(of: "expected" | "ewe_lambs" | "ways", to: number | undefined): void {
  void change({ [of]: to });
}

/** A whole number that may be left empty. */
function Whole({ of, value }: { of: "expected" | "ewe_lambs"; value: number | undefined }) {
  const [text, setText] = useState(value === undefined ? "" : String(value));
  const isWrong = !/^\d{0,5}$/.test(text.trim());
  return (
    <label class="race-whole">
      {words[of]}
      <input
        type="text"
        inputmode="numeric"
        autocomplete="off"
        value={text}
        aria-invalid={isWrong}
        onInput={(event) => setText(event.currentTarget.value)}
        onChange={() => {
          if (!isWrong) tell(of, text.trim() === "" ? undefined : Number(text));
        }}
      />
      {isWrong && <span role="alert">{words.whole}</span>}
    </label>
  );
}
