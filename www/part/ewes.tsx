/** Lists of ewes: lines that open her sheet. */
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import type { EweLine, PenView } from "../engine/types";
import { picked, pickUp } from "../store/hand";
import { openEwe } from "../store/look";
import { day } from "../store/screen";
import { en } from "../text/en";
import { MarkIcon } from "./mark";

/** So many lines are shown until all are asked for. */
const FEW = 6;

/** A titled list of lines about ewes. */
export function EweLines(props: {
  title: string;
  none: string;
  lead?: string;
  lines: readonly EweLine[];
  act?: (line: EweLine) => ComponentChildren;
  closed?: boolean;
}) {
  const { title, none, lead = "", lines, act, closed = false } = props;
  const [all, setAll] = useState(false);
  return (
    <section class="lines">
      <h3>
        {title} {lines.length > 0 && <span class="figure">({lines.length})</span>}
      </h3>
      {lines.length === 0 && <p class="quiet">{none}</p>}
      {lead && <p>{lead}</p>}
      <ul>
        {(all ? lines : lines.slice(0, FEW)).map((line, index) => (
          <li key={`${index} ${line.tag}`}>
            {closed ? (
              <p class="row">
                <Line line={line} />
              </p>
            ) : (
              <button type="button" class="row" onClick={() => void openEwe(line.tag)}>
                <Line line={line} />
              </button>
            )}
            {act?.(line)}
          </li>
        ))}
      </ul>
      {lines.length > FEW && !all && (
        <button type="button" class="plain more" onClick={() => setAll(true)}>
          {en.lists.all(lines.length)}
          <span class="unseen">: {title}</span>
        </button>
      )}
    </section>
  );
}

function Line({ line }: { line: EweLine }) {
  return (
    <>
      <b class="figure">{line.tag}</b>
      {line.pen && (
        <span class="in">
          {en.result.pen} {line.pen}
        </span>
      )}
      <span class="words">{line.words}</span>
    </>
  );
}

/** A pen's ewes as buttons of full size: the same as its marks. */
export function PenRows({ pen }: { pen: PenView }) {
  return (
    <ul class="ewes">
      {pen.ewes.map((ewe) => (
        <li key={ewe.tag}>
          <button
            type="button"
            class="row"
            aria-pressed={picked.value?.tag === ewe.tag}
            onClick={(event) => void pickUp(ewe.tag, event.detail === 0)}
          >
            <MarkIcon ewe={ewe} day={day.value} />
            <b class="figure">{ewe.tag}</b>
            <span class="unseen">{ewe.label}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}
