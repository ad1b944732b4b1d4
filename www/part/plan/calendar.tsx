/** Pens against weeks: the concentrate of each as a bar, and the one that is open in full. */
import type { PlanCellView, PlanPenView, PlanView } from "../../engine/types";
import { open } from "../../store/plan";
import { view as sorted } from "../../store/sort";
import { en } from "../../text/en";
import { Tile } from "../tile";

const words = en.plan;

/** The calendar, and the ration of the cell that is open. */
export function Calendar({ view }: { view: PlanView }) {
  const most = Math.max(...view.pens.flatMap((pen) => pen.weeks.map((cell) => cell.concentrate_kg)), 0.1);
  const at = open.value;
  const pen = view.pens[at.pen] ?? view.pens[0];
  const week = Math.min(at.week, Math.max((pen?.weeks.length ?? 1) - 1, 0));
  const cell = pen?.weeks[week];
  return (
    <section class="calendar" aria-labelledby="calendar-title">
      <h2 id="calendar-title">{words.calendar}</h2>
      <p class="quiet">{words.calendarHelp}</p>
      <div class="scroll" tabIndex={0} role="region" aria-labelledby="calendar-title">
        <table>
          <thead>
            <tr>
              <th scope="col">{words.pen}</th>
              {view.weeks.map((of) => (
                <th key={of.name} scope="col">
                  {of.name}
                  <span>{of.from}</span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {view.pens.map((row, index) => (
              <tr key={row.name}>
                <Name pen={row} />
                {view.weeks.map((of, column) => {
                  const found = row.weeks[column];
                  if (!found)
                    return (
                      <td key={of.name} class="done">
                        {words.done}
                      </td>
                    );
                  const isOpen = row === pen && column === week;
                  return (
                    <td key={of.name}>
                      <button
                        type="button"
                        class={`cell ${found.state}`}
                        aria-pressed={isOpen}
                        aria-label={words.cell(
                          row.name,
                          of.name,
                          found.title,
                          words.states[found.state] ?? found.state,
                        )}
                        onClick={() => (open.value = { pen: index, week: column })}
                      >
                        <b>{found.title}</b>
                        {found.state !== "met" && <small>{words.states[found.state]}</small>}
                        <i style={{ width: `${(100 * found.concentrate_kg) / most}%` }} />
                      </button>
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {pen && cell && (
        <Ration
          title={`${en.result.pen} ${pen.name}, ${view.weeks[week]?.name.toLowerCase() ?? ""}`}
          pen={pen}
          cell={cell}
        />
      )}
    </section>
  );
}

function Name({ pen }: { pen: PlanPenView }) {
  const all = sorted.value?.pens ?? [];
  const at = Math.max(
    all.findIndex(({ name }) => name === pen.name),
    0,
  );
  return (
    <th scope="row">
      <Tile name={pen.name} at={at} size={48} />
      <span class="unseen">
        {en.result.pen} {pen.name}
      </span>
      <span>{pen.head}</span>
    </th>
  );
}

function Ration({ title, pen, cell }: { title: string; pen: PlanPenView; cell: PlanCellView }) {
  return (
    <section class="ration" aria-live="polite" aria-labelledby="ration-title">
      <h3 id="ration-title">{title}</h3>
      <div class="beside-each">
        {cell.feeds.length > 0 && (
          <table class="feeds">
            <thead>
              <tr>
                <th scope="col">{words.feed}</th>
                <th scope="col">{words.amount}</th>
              </tr>
            </thead>
            <tbody>
              {cell.feeds.map((feed) => (
                <tr key={feed.name}>
                  <th scope="row">{feed.name}</th>
                  <td class="figure">{feed.words}</td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
        <ul class="said">
          {cell.words.map((line) => (
            <li key={line}>{line}</li>
          ))}
          <li class={pen.trough_short ? "grave" : ""}>{pen.trough}</li>
        </ul>
      </div>
      <Lines title={words.stopped} lines={cell.stopped_by} />
      <Lines title={words.ways_out} lines={cell.ways_out} />
    </section>
  );
}

function Lines({ title, lines }: { title: string; lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <>
      <h4>{title}</h4>
      <ul class="said">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </>
  );
}
