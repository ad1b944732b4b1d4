/** What a pen would mean for the ewe in hand, and the way to put her there. */
import type { PutView } from "../engine/types";
import { putDown, putInto } from "../store/hand";
import { busy } from "../store/sort";
import { en } from "../text/en";
import { Sign } from "./problems";

/** A pen's answer; `at` is its place in the file. */
export function Put({ place, at }: { place: PutView; at: number }) {
  const words = [place.words, place.room, ...place.limits].filter(Boolean);
  const told = (
    <span class="words" id={`put-${at}`}>
      {words.map((line) => (
        <span key={line}>{line}</span>
      ))}
    </span>
  );
  if (!place.allowed) {
    return (
      <p class="put no">
        <Sign severity="error" />
        <b>{en.hand.no(place.pen)}</b>
        {told}
      </p>
    );
  }
  return (
    <p class={`put${place.here ? " here" : ""}`}>
      <button
        type="button"
        class={place.here ? "down" : "main"}
        aria-describedby={`put-cost-${at} put-${at}`}
        disabled={busy.value !== ""}
        onClick={() => (place.here ? putDown() : void putInto(place.pen))}
      >
        {place.here ? en.hand.down : en.hand.into(place.pen)}
      </button>
      <b class="cost figure" id={`put-cost-${at}`}>
        {place.cost}
      </b>
      {told}
    </p>
  );
}
