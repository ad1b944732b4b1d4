/** A pen's trough drawn to scale and filled by its ewes, and its floor. */
import type { PenView } from "../engine/types";
import { picked } from "../store/hand";
import { ewe as opened } from "../store/screen";
import { EDGE, type Picture } from "./picture";

const TROUGH = 22;
const FLOOR = 8;

/** Both bars, each with the engine's words. */
export function Trough({ pen, at, picture }: { pen: PenView; at: number; picture: Picture }) {
  const { width, most } = picture;
  const room = Math.max(width - 2 * EDGE, 1);
  const { trough, floor } = pen;
  const unit = room / (most.trough.get(trough.unit) || 1);
  const floorUnit = room / (most.floor.get(floor.unit) || 1);
  // Each ewe's share of what is used; where places are counted, every ewe takes one.
  const shares = pen.ewes.map((ewe) => ewe.trough_m);
  const all = shares.reduce((sum, share) => sum + share, 0);
  let from = EDGE;
  const parts = pen.ewes.map((ewe, index) => {
    const share = all > 0 ? ((shares[index] ?? 0) / all) * trough.used : trough.used / pen.ewes.length;
    const part = { tag: ewe.tag, x: from, width: share * unit };
    from += part.width;
    return part;
  });
  return (
    <div class={`fills tint-${at % 8}`}>
      <svg
        width={width}
        height={TROUGH + FLOOR + 12}
        viewBox={`0 0 ${width} ${TROUGH + FLOOR + 12}`}
        aria-hidden="true"
      >
        <path
          class="trough"
          d={`M${EDGE - 5},2L${EDGE},${TROUGH}H${EDGE + trough.total * unit}L${EDGE + trough.total * unit + 5},2`}
        />
        {parts.map((part) => (
          <rect
            key={part.tag}
            class={`share${[opened.value?.tag, picked.value?.tag].includes(part.tag) ? " open" : ""}`}
            x={part.x}
            y="5"
            width={Math.max(part.width, 0.5)}
            height={TROUGH - 7}
          />
        ))}
        <rect class="floor" x={EDGE} y={TROUGH + 6} width={floor.total * floorUnit} height={FLOOR} />
        <rect class="stood" x={EDGE} y={TROUGH + 6} width={floor.used * floorUnit} height={FLOOR} />
      </svg>
      <p>
        <span>{trough.words}</span>
        <span>{floor.words}</span>
      </p>
    </div>
  );
}
