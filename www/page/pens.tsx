/** The pen strips: the product's face. */
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import type { PenView, SortView } from "../engine/types";
import { Dock } from "../part/dock";
import { PenRows } from "../part/ewes";
import { Numbers } from "../part/ground";
import { Legend } from "../part/legend";
import { picture, type Picture } from "../part/picture";
import { Put } from "../part/put";
import { Strip } from "../part/strip";
import { Tile } from "../part/tile";
import { Trough } from "../part/trough";
import { picked } from "../store/hand";
import { en } from "../text/en";

/** All pens on one axis. */
export function Pens({ view }: { view: SortView }) {
  const frame = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  const [shown, setShown] = useState(1);
  useLayoutEffect(() => {
    const element = frame.current;
    if (!element) return;
    // Behind the sheet of a ewe there is no width; the strips stay as they were.
    const measure = () => setWidth((before) => Math.floor(element.clientWidth) || before);
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  // One pen a frame, so that a large flock never holds the page up.
  useEffect(() => {
    if (shown >= view.pens.length) return;
    const next = requestAnimationFrame(() => setShown((count) => count + 1));
    return () => cancelAnimationFrame(next);
  }, [shown, view.pens.length]);
  const shared = useMemo(
    () => (width > 0 ? picture(view, width, width < 560 ? 176 : 168) : null),
    [view, width],
  );
  return (
    <section class="pens" aria-labelledby="pens-title">
      <h2 id="pens-title" class="unseen">
        {en.result.pens}
      </h2>
      <p class="how">{en.hand.tap}</p>
      <div class="axis">
        <p>
          {view.axis.title} <span class="quiet">{en.result.narrow}</span>
        </p>
        <div class="measure" ref={frame}>
          {shared && <Numbers axis={view.axis} picture={shared} />}
        </div>
      </div>
      {shared &&
        view.pens
          .slice(0, shown)
          .map((pen, at) => <Row key={pen.name} pen={pen} at={at} view={view} shared={shared} />)}
      <Legend lines={view.legend} />
      <Dock view={view} />
    </section>
  );
}

function Row(props: { pen: PenView; at: number; view: SortView; shared: Picture }) {
  const { pen, at, view, shared } = props;
  const [open, setOpen] = useState(false);
  const place = picked.value?.places.find((one) => one.pen === pen.name);
  return (
    <article class={`pen${pen.count === 0 ? " empty" : ""}`} aria-labelledby={`pen-${at}`}>
      <header>
        <Tile name={pen.name} at={at} size={72} />
        <h3 id={`pen-${at}`}>
          {en.result.pen} {pen.name}
        </h3>
        {pen.count > 0 && (
          <button
            type="button"
            class="plain"
            aria-expanded={open}
            aria-label={en.result.rowsOf(pen.name)}
            onClick={() => setOpen(!open)}
          >
            {en.result.rows}
          </button>
        )}
        <p class="told">
          <span>{pen.head}</span>
          <span class="feed">{pen.feed}</span>
        </p>
      </header>
      {place && <Put place={place} at={at} />}
      <div class="drawn">
        {pen.count > 0 && <Strip pen={pen} axis={view.axis} picture={shared} />}
        <Trough pen={pen} at={at} picture={shared} />
        {pen.notes.map((note) => (
          <p class="remark" key={note}>
            {note}
          </p>
        ))}
        {open && <PenRows pen={pen} />}
      </div>
    </article>
  );
}
