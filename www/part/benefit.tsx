/** How many ewes to move: the curve of what it buys, and the ways to choose a point of it. */
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { RegroupView } from "../engine/types";
import { listMoves } from "../store/regroup";
import { en } from "../text/en";
import { drawBenefit, type Drawn } from "./benefit-draw";
import { Arrow } from "./day";
import { Table } from "./table";

const words = en.regroup;

/** The curve with its controls. */
export function Benefit({ view }: { view: RegroupView }) {
  const place = useRef<HTMLDivElement>(null);
  const drawn = useRef<Drawn | null>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const box = place.current;
    if (!box) return;
    const watch = new ResizeObserver(() => setWidth(Math.round(box.clientWidth)));
    watch.observe(box);
    return () => watch.disconnect();
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
  const at = curve.findIndex(({ moves }) => moves === view.listed);
  const best = curve.find((point) => point.is_best);
  const go = (to: number) => {
    const point = curve[to];
    if (point) void listMoves(point.moves);
  };
  return (
    <div class="choose" role="group" aria-label={words.pay}>
      <output class="chosen">{view.listed_words}</output>
      <button type="button" class="plain" disabled={at <= 0} onClick={() => go(at - 1)}>
        <Arrow turn={180} />
        <span class="unseen">{words.fewer}</span>
      </button>
      <input
        type="range"
        min={0}
        max={Math.max(curve.length - 1, 0)}
        step={1}
        value={at}
        aria-label={words.slide}
        aria-valuetext={view.listed_words}
        onInput={(event) => go(Number(event.currentTarget.value))}
      />
      <button type="button" class="plain" disabled={at >= curve.length - 1} onClick={() => go(at + 1)}>
        <Arrow turn={0} />
        <span class="unseen">{words.more}</span>
      </button>
      {best && (
        <button
          type="button"
          class="plain best"
          disabled={best.moves === view.listed}
          onClick={() => void listMoves(best.moves)}
        >
          {words.best}
        </button>
      )}
    </div>
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
