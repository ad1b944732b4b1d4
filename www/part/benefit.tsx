/** How many ewes to move: the curve of what it buys, and the ways to choose a point of it. */
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { CurvePointView, RegroupView } from "../engine/types";
import { listMoves } from "../store/regroup";
import { en } from "../text/en";
import type { Drawn } from "./bare";
import { drawBenefit } from "./benefit-draw";
import { Along } from "./along";
import { Table } from "./table";
import { watchWidth } from "./width";

const words = en.regroup;

/** The curve with its controls. */
export function Benefit({ view }: { view: RegroupView }) {
  const place = useRef<HTMLDivElement>(null);
  const drawn = useRef<Drawn<CurvePointView> | null>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const box = place.current;
    return box ? watchWidth(box, setWidth) : undefined;
  }, []);
  useLayoutEffect(() => {
    if (width === 0) return;
    const named = { left: words.left, withMoves: words.withMoves, best: words.bestMark };
    drawn.current = drawBenefit({ view, width, words: named });
    place.current?.replaceChildren(drawn.current.picture);
  }, [view, width]);
  const tap = (event: MouseEvent & { currentTarget: HTMLDivElement }) => {
    const point = drawn.current?.nearest(event.clientX - event.currentTarget.getBoundingClientRect().left);
    if (point) void listMoves(point.moves);
  };
  return (
    <figure class="curve pay" aria-labelledby="benefit-title">
      <h2 id="benefit-title">{view.curve_title}</h2>
      <div ref={place} class="drawn" onClick={tap} />
      <figcaption>
        <ul class="keys">
          <li>
            <svg class="swatch left" width="56" height="8" aria-hidden="true">
              <path d="M0,4H56" />
            </svg>
            {view.misfit_axis}
          </li>
          <li>
            <svg class="swatch with" width="56" height="8" aria-hidden="true">
              <path d="M0,4H56" />
            </svg>
            {view.with_moves_title}
          </li>
        </ul>
      </figcaption>
      <Choose view={view} />
      <details>
        <summary>{words.table}</summary>
        <Points view={view} />
      </details>
    </figure>
  );
}

/** Fewer, more, a slider, and the best. */
function Choose({ view }: { view: RegroupView }) {
  const { curve } = view;
  const go = (to: number) => {
    const point = curve[to];
    if (point) void listMoves(point.moves);
  };
  return (
    <Along
      at={curve.findIndex(({ moves }) => moves === view.listed)}
      count={curve.length}
      best={curve.findIndex((point) => point.is_best)}
      go={go}
      said={view.listed_words}
      words={words}
    />
  );
}

function Points({ view }: { view: RegroupView }) {
  const rows = view.curve
    .filter((point) => point.in_table || point.moves === view.listed)
    .map((point) => ({
      name: String(point.moves),
      here: point.moves === view.listed,
      ...(point.is_best ? { note: words.bestMark } : {}),
      cells: [point.objective_mj.toFixed(1), point.with_moves_mj.toFixed(1)],
    }));
  return <Table label={words.table} heads={[view.moves_axis, words.left, words.withMoves]} rows={rows} />;
}
