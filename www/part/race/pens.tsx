/** How the pens fill; a tap sends her into one of them, against what was told. */
import type { PenFill } from "../../engine/types";
import { Tile } from "../tile";
import { canEnter, view } from "../../store/journal/journal";
import { enter, isWritten } from "../../store/journal/race";
import { en } from "../../text/en";

/** Pens behind one way stand together, the left way first. */
const byWay = (pens: readonly PenFill[]) =>
  [...pens].sort((one, other) => (one.way?.number ?? 0) - (other.way?.number ?? 0));

/** The pens. */
export function Pens() {
  const shown = view.value;
  if (!shown) return null;
  if (shown.pens.length === 0)
    return (
      <p class="race-no-pens">{shown.unplanned.map(({ message, hint }) => `${message} ${hint}`).join(" ")}</p>
    );
  return (
    <ul class="race-pens" tabIndex={0} aria-label={en.race.pens}>
      {byWay(shown.pens).map((pen) => (
        <li key={pen.pen}>
          <button
            type="button"
            class={pen.is_full ? "full" : ""}
            disabled={!isWritten.value || !canEnter.value}
            aria-label={en.race.into(pen.pen, pen.words, pen.way?.words)}
            onClick={() => void enter(pen.pen)}
          >
            {pen.way && (
              <b class="race-way-sign" aria-hidden="true">
                {pen.way.arrow}
                {pen.way.letter}
              </b>
            )}
            <Tile name={pen.pen} at={pen.at} size={40} />
            <span>{pen.words}</span>
            <svg class="race-fill" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
              <rect class="all" width="100" height="6" />
              <rect class="in" width={100 * pen.full} height="6" />
            </svg>
          </button>
        </li>
      ))}
    </ul>
  );
}
