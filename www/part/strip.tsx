/** A pen strip: the pen's ewes by need, and the ration as a post that they stand to the left or right of. */
import { useState } from "preact/hooks";
import type { Axis, PenView } from "../engine/types";
import { day, ewe as opened } from "../store/screen";
import { picked, pickUp } from "../store/hand";
import { heap } from "./heap";
import { MarkShape } from "./mark";
import { Ground, Post, POST_ROOM } from "./ground";
import { nearest, step } from "./roam";
import type { Picture } from "./picture";

/** The strip of one pen; `still` for paper. */
export function Strip(props: { pen: PenView; axis: Axis; picture: Picture; still?: boolean }) {
  const { pen, axis, picture, still = false } = props;
  const { scale, size, width } = picture;
  const [active, setActive] = useState(0);
  const on = still ? 0 : day.value;
  const level = pen.levels[on];
  const rows = Math.max(picture.rows.get(pen) ?? 0, 3);
  const heapHeight = Math.max(rows * size.up + 8, still ? 0 : 64);
  const floor = POST_ROOM + heapHeight;
  const places = level === undefined ? [] : heap(pen.ewes, on, level, size, scale);
  const at = (row: number) => floor - 4 - (row + 0.5) * size.up;

  const tap = (event: MouseEvent & { currentTarget: SVGSVGElement }) => {
    const box = event.currentTarget.getBoundingClientRect();
    const ratio = width / box.width;
    const found = nearest(
      places.map(({ x, row }) => ({ x, y: at(row) })),
      (event.clientX - box.left) * ratio,
      (event.clientY - box.top) * ratio,
    );
    if (found !== undefined) pick(found, false);
  };
  const pick = (index: number, byKeys: boolean) => {
    const tag = pen.ewes[index]?.tag;
    if (tag === undefined) return;
    setActive(index);
    void pickUp(tag, byKeys);
  };
  const key = (event: KeyboardEvent & { currentTarget: SVGSVGElement }) => {
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      pick(active, true);
      return;
    }
    const to = step(event, active, pen.ewes.length);
    if (to === undefined) return;
    event.preventDefault();
    setActive(to);
    event.currentTarget.querySelectorAll<SVGElement>(".mark")[to]?.focus();
  };

  return (
    <svg
      class="strip"
      width={width}
      height={floor + 2}
      viewBox={`0 0 ${width} ${floor + 2}`}
      role="group"
      aria-label={`${pen.name}: ${pen.head}`}
      {...(still ? {} : { onClick: tap, onKeyDown: key })}
    >
      <Ground axis={axis} picture={picture} top={POST_ROOM - 6} floor={floor} />
      {level !== undefined && (
        <Post x={scale(level)} words={pen.level_words[on] ?? ""} width={width} floor={floor} />
      )}
      {pen.ewes.map((ewe, index) => {
        const place = places[index];
        if (!place) return null;
        return (
          <g
            key={ewe.tag}
            class={`mark${(opened.value?.tag === ewe.tag || picked.value?.tag === ewe.tag) && !still ? " open" : ""}`}
            style={{ transform: `translate(${place.x}px, ${at(place.row)}px)` }}
            {...(still
              ? {}
              : {
                  role: "button",
                  tabindex: index === active ? 0 : -1,
                  "aria-label": ewe.label,
                  "aria-pressed": picked.value?.tag === ewe.tag,
                  "data-tag": ewe.tag,
                  onFocus: () => setActive(index),
                })}
          >
            <circle class="ring" r={size.mark * 0.8 + 2} />
            <MarkShape
              lambs={ewe.litter}
              fit={ewe.fit[on] ?? "good"}
              size={size.mark}
              assumed={ewe.assumed}
              kept={ewe.kept}
            />
          </g>
        );
      })}
    </svg>
  );
}
