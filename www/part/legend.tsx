/** What the marks mean: the engine's words beside our drawings. */
import type { Fit, LegendLine } from "../engine/types";
import { en } from "../text/en";
import { MarkShape } from "./mark";

/** The legend, always in sight below the strips. */
export function Legend({ lines }: { lines: readonly LegendLine[] }) {
  return (
    <section class="legend" aria-labelledby="legend">
      <h3 id="legend">{en.result.legend}</h3>
      <ul>
        {lines.map((line) => (
          <li key={line.mark}>
            <svg width="40" height="40" viewBox="-20 -20 40 40" aria-hidden="true">
              <Drawing mark={line.mark} />
            </svg>
            <span>{line.words}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Drawing({ mark }: { mark: string }) {
  const shape = (lambs: number, fit: Fit, more: { assumed?: boolean; kept?: boolean } = {}) => (
    <MarkShape lambs={lambs} fit={fit} size={20} assumed={more.assumed ?? false} kept={more.kept ?? false} />
  );
  const [kind, count] = mark.split("-");
  switch (kind) {
    case "litter":
      return shape(Number(count), "good");
    case "short":
    case "good":
    case "over":
      return shape(2, kind);
    case "assumed":
      return shape(2, "good", { assumed: true });
    case "kept":
      return shape(2, "good", { kept: true });
    case "level":
      return (
        <g class="post">
          <path class="stake" d="M0,-16V16" />
          <rect x="-14" y="-18" width="28" height="12" />
        </g>
      );
    case "trough":
      return (
        <>
          <path class="trough" d="M-18,-7L-15,8H15L18,-7" />
          <rect class="share" x="-14" y="-5" width="7" height="11" />
          <rect class="share" x="-6" y="-5" width="7" height="11" />
        </>
      );
    case "floor":
      return (
        <>
          <rect class="floor" x="-16" y="-4" width="32" height="8" />
          <rect class="stood" x="-16" y="-4" width="20" height="8" />
        </>
      );
    default:
      return null;
  }
}
