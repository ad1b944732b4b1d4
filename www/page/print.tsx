/** Pen lists on paper: A4, one pen a sheet, drawn only while the browser prints. */
import { render, type JSX } from "preact";
import { useMemo } from "preact/hooks";
import type { EweMark, PenView, SortView, Stands } from "../engine/types";
import { CardSheet } from "../part/card-sheet";
import { outline } from "../part/mark";
import { Numbers } from "../part/ground";
import { picture } from "../part/picture";
import { Strip } from "../part/strip";
import { Tile } from "../part/tile";
import { card, paper as size } from "../store/card";
import { stands } from "../store/journal/afterwards";
import { planned } from "../store/plan";
import { regrouped } from "../store/regroup";
import { screen } from "../store/screen";
import { demo, view } from "../store/sort";
import { en } from "../text/en";
import { LoadPaper } from "../part/plan/paper";
import { MovesPaper } from "./regroup";

/** A sheet's rows: one table holds half of them where there are many. */
const SHEET = 52;
const COLUMN = 26;

/** Width of the strip on paper, CSS px. */
const PAPER = 690;

let chosen: string | null = null;

/** Prints the list of one pen, or of all. */
export function printPens(pen: string | null): void {
  chosen = pen;
  window.print();
}

/** Puts the lists on paper however printing was begun. */
export function preparePrint(root: HTMLElement): void {
  addEventListener("beforeprint", () => {
    const paper = onPaper();
    document.body.classList.toggle("lists", paper !== null);
    if (paper) render(paper, root);
  });
  addEventListener("afterprint", () => {
    chosen = null;
    stands.value = null;
    document.body.classList.remove("lists");
    render(null, root);
  });
}

/** What is printed instead of the screen; nothing where the screen itself is. */
function onPaper(): JSX.Element | null {
  const [moves, found] = [regrouped.value, card.value];
  switch (screen.value) {
    case "regroup":
      return moves?.kind === "regrouped" ? <MovesPaper view={moves.view} /> : null;
    case "card":
      return found?.kind === "card" ? <CardSheet view={found.view} size={size.value} /> : null;
    case "plan":
      return planned.value?.kind === "planned" ? <LoadPaper view={planned.value.view} /> : null;
    case "need":
    case "ration":
    case "count":
      return null;
    case "race":
      return stands.value && <Standing stands={stands.value} />;
    default:
      return view.value && <Sheets sort={view.value} only={chosen} />;
  }
}

function Sheets({ sort, only }: { sort: SortView; only: string | null }) {
  const pens = sort.pens.filter((pen) => pen.count > 0 && (only === null || pen.name === only));
  return (
    <>
      {pens.flatMap((pen) => {
        const parts = Math.ceil(pen.ewes.length / SHEET);
        return Array.from({ length: parts }, (_, part) => (
          <Sheet key={`${pen.name} ${part}`} sort={sort} pen={pen} part={part} parts={parts} />
        ));
      })}
    </>
  );
}

function Sheet(props: { sort: SortView; pen: PenView; part: number; parts: number }) {
  const { sort, pen, part, parts } = props;
  const at = sort.pens.indexOf(pen);
  const shared = useMemo(() => picture(sort, PAPER, 80), [sort]);
  return (
    <article class="paper">
      <header>
        <Tile name={pen.name} at={at} size={88} />
        <div>
          <h1>
            {en.result.pen} {pen.name}
          </h1>
          <p>{pen.head}</p>
          <p>{pen.feed}</p>
        </div>
        <p class="when">
          {demo.value && <b>{en.demo.badge}</b>}
          <span>{sort.period}</span>
          {parts > 1 && <span>{en.print.sheet(part + 1, parts)}</span>}
        </p>
      </header>
      {part === 0 && (
        <>
          <p class="axis-title">{sort.axis.title}</p>
          <Numbers axis={sort.axis} picture={shared} />
          <Strip pen={pen} axis={sort.axis} picture={shared} still />
        </>
      )}
      <p class="fills">
        <span>{pen.trough.words}</span>
        <span>{pen.floor.words}</span>
      </p>
      <Columns all={pen.ewes} part={part} />
      <footer>{sort.caution}</footer>
    </article>
  );
}

/** The pens as the ewes stand at the race. */
function Standing({ stands: { sheets, caution } }: { stands: Stands }) {
  return (
    <>
      {sheets.flatMap(({ pen, at, head, ewes }) => {
        const parts = Math.ceil(ewes.length / SHEET);
        return Array.from({ length: parts }, (_, part) => (
          <article class="paper" key={`${pen} ${part}`}>
            <header>
              <Tile name={pen} at={at} size={88} />
              <div>
                <h1>
                  {en.result.pen} {pen}
                </h1>
                <p>{head}</p>
                <p>{en.race.after.seat}</p>
              </div>
              {parts > 1 && <p class="when">{en.print.sheet(part + 1, parts)}</p>}
            </header>
            <Columns all={ewes} part={part} />
            <footer>{caution}</footer>
          </article>
        ));
      })}
    </>
  );
}

type Row = Pick<EweMark, "tag" | "litter" | "condition" | "due" | "notes">;

/** The ewes of one sheet by tag, in two columns where they are many. */
function Columns({ all, part }: { all: readonly Row[]; part: number }) {
  const byTag = [...all].sort((a, b) => a.tag.localeCompare(b.tag, "en", { numeric: true }));
  const ewes = byTag.slice(part * SHEET, (part + 1) * SHEET);
  const half = ewes.length > COLUMN ? Math.ceil(ewes.length / 2) : ewes.length;
  return (
    <div class={half < ewes.length ? "two" : "one"}>
      <Table ewes={ewes.slice(0, half)} />
      {half < ewes.length && <Table ewes={ewes.slice(half)} />}
    </div>
  );
}

function Table({ ewes }: { ewes: readonly Row[] }) {
  return (
    <table>
      <thead>
        <tr>
          <th class="box">{en.print.moved}</th>
          <th>{en.print.tag}</th>
          <th>{en.print.lambs}</th>
          <th>{en.print.condition}</th>
          <th>{en.print.due}</th>
          <th class="notes">{en.print.notes}</th>
        </tr>
      </thead>
      <tbody>
        {ewes.map((ewe) => (
          <tr key={ewe.tag}>
            <td class="box">
              <i />
            </td>
            <td class="tag">{ewe.tag}</td>
            <td>
              <svg width="14" height="14" viewBox="-1.4 -1.4 2.8 2.8" aria-hidden="true">
                <path d={outline(ewe.litter)} />
              </svg>{" "}
              {ewe.litter}
            </td>
            <td>{ewe.condition}</td>
            <td>{ewe.due}</td>
            <td class="notes">{ewe.notes}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
