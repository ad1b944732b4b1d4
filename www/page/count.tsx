/** The room of numbers of pens: what each comes to, which they are, and what one more buys. */
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { PenCountPointView, PenCountReply, PenCountView } from "../engine/types";
import { useArrival } from "../part/arrive";
import { Along } from "../part/along";
import { CannotHold, NotYet, Remarks } from "../part/answer";
import type { Drawn } from "../part/bare";
import { Choice, pairs } from "../part/choice";
import { drawCount } from "../part/count-draw";
import { NoFlock } from "../part/rooms";
import { Table } from "../part/table";
import { Tile } from "../part/tile";
import { watchWidth } from "../part/width";
import { thinking } from "../store/aside";
import { at, counted, countPens, shed } from "../store/count";
import { view } from "../store/sort";
import { en } from "../text/en";

const words = en.count;

/** The room. */
export function Count() {
  const title = useArrival();
  const known = view.value !== null;
  useEffect(() => {
    if (known) void countPens();
  }, [known, shed.value]);
  const answer = counted.value;
  return (
    <main id="content" class="count-room" tabIndex={-1}>
      <header class="lead">
        <h1 ref={title} tabIndex={-1}>
          {words.title}
        </h1>
        <p>{words.purpose}</p>
      </header>
      {!known && <NoFlock room="count" />}
      {known && (
        <form class="asking" noValidate onSubmit={(event) => event.preventDefault()} aria-label={words.title}>
          <Choice
            name="shed"
            legend={words.shed}
            options={pairs(words.sheds)}
            value={shed.value}
            change={(to) => (shed.value = to)}
          />
        </form>
      )}
      {known && answer && <Answer answer={answer} />}
      {known && !answer && thinking.value === "" && (
        <p class="go">
          <button type="button" class="plain" onClick={() => void countPens()}>
            {words.again}
          </button>
        </p>
      )}
    </main>
  );
}

function Answer({ answer }: { answer: PenCountReply }) {
  switch (answer.kind) {
    case "counted":
      return (
        <>
          <section class="advice" aria-label={words.advice}>
            <p>{answer.view.headline}</p>
            <p class="large">{answer.view.advice}</p>
            {answer.view.notes.map((note) => (
              <p key={note}>{note}</p>
            ))}
            <p class="caution">{answer.view.caution}</p>
          </section>
          <Chart view={answer.view} />
          <details>
            <summary>{words.basis}</summary>
            <p class="quiet">{answer.view.basis}</p>
          </details>
          <Remarks problems={answer.problems} />
          <p class="acts">
            <button type="button" class="plain" onClick={() => print()}>
              {words.print}
            </button>
          </p>
        </>
      );
    case "impossible":
      return <CannotHold view={answer.view} />;
    case "unreadable":
      return <NotYet headline={answer.headline} problems={answer.problems} mend="" />;
  }
}

function Chart({ view: answer }: { view: PenCountView }) {
  const place = useRef<HTMLDivElement>(null);
  const drawn = useRef<Drawn<PenCountPointView> | null>(null);
  const [width, setWidth] = useState(0);
  const here = at.value;
  const { points } = answer;
  useLayoutEffect(() => {
    const box = place.current;
    return box ? watchWidth(box, setWidth) : undefined;
  }, []);
  useLayoutEffect(() => {
    if (width === 0) return;
    drawn.current = drawCount({ view: answer, at: here, width, words });
    place.current?.replaceChildren(drawn.current.picture);
  }, [answer, here, width]);
  const tap = (event: MouseEvent & { currentTarget: HTMLDivElement }) => {
    const point = drawn.current?.nearest(event.clientX - event.currentTarget.getBoundingClientRect().left);
    if (point) at.value = points.indexOf(point);
  };
  return (
    <figure class="curve pay" aria-labelledby="count-title">
      <h2 id="count-title">{answer.chart_title}</h2>
      <div ref={place} class="drawn" onClick={tap} />
      <figcaption>
        <ul class="keys">
          <Key kind="left" words={answer.misfit_axis} />
          <Key kind="with" words={answer.bound_title} />
        </ul>
      </figcaption>
      <Along
        at={here}
        count={points.length}
        best={points.findIndex((point) => point.is_best)}
        go={(to) => (at.value = Math.min(Math.max(to, 0), points.length - 1))}
        said={points[here]?.words ?? ""}
        words={words}
      />
      <Used pens={points[here]?.used ?? []} />
      {answer.best_words && (
        <p>
          <b>
            {words.bestMark}: {answer.best_pens}
          </b>
          {", "}
          {answer.best_words}
        </p>
      )}
      <details>
        <summary>{words.table}</summary>
        <Points view={answer} />
      </details>
    </figure>
  );
}

function Key({ kind, words: said }: { kind: "left" | "with"; words: string }) {
  return (
    <li>
      <svg class={`swatch ${kind}`} width="56" height="8" aria-hidden="true">
        <path d="M0,4H56" />
      </svg>
      {said}
    </li>
  );
}

/** Which pens, by their signs. */
function Used({ pens }: { pens: readonly string[] }) {
  const all = view.value?.pens ?? [];
  if (pens.length === 0) return null;
  return (
    <ul class="used" aria-label={words.used}>
      {pens.map((pen) => (
        <li key={pen}>
          <Tile
            name={pen}
            at={Math.max(
              all.findIndex(({ name }) => name === pen),
              0,
            )}
          />
          <span class="unseen">
            {en.result.pen} {pen}
          </span>
        </li>
      ))}
    </ul>
  );
}

function Points({ view: answer }: { view: PenCountView }) {
  const figure = (mj: number | null) => (mj === null ? words.none : mj.toFixed(0));
  const rows = answer.points.map((point, index) => ({
    name: String(point.pens),
    here: index === at.value,
    note: [point.is_best ? words.bestMark : "", point.used.join(", ")].filter(Boolean).join(": "),
    cells: [
      figure(point.objective_mj),
      figure(point.bound_mj),
      point.ewes_short === null ? words.none : String(point.ewes_short),
    ],
  }));
  return (
    <Table
      label={words.table}
      heads={[answer.pens_axis, words.misfit, words.bound, words.short]}
      rows={rows}
    />
  );
}
