/** Pens against weeks: the concentrate of each as a bar, and the one that is open in full. */
import type { PlanPenView, PlanView } from "../../engine/types";
import { open } from "../../store/plan";
import { view as sorted } from "../../store/sort";
import { en } from "../../text/en";
import { Tile } from "../tile";
import { Ration } from "./ration";

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
                          row.place,
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
        <Ration title={`${pen.place}, ${view.weeks[week]?.name.toLowerCase() ?? ""}`} pen={pen} cell={cell} />
      )}
    </section>
  );
}

function Name({ pen }: { pen: PlanPenView }) {
  const all = sorted.value?.pens ?? [];
  const at = all.findIndex(({ name }) => name === pen.name);
  return (
    <th scope="row">
      {at >= 0 && !pen.is_apart ? (
        <>
          <Tile name={pen.name} at={at} size={48} />
          <span class="unseen">{pen.place}</span>
        </>
      ) : (
        <b>{pen.place}</b>
      )}
      <span>{pen.head}</span>
    </th>
  );
}
