/** The load sheet of one week: what goes into wagon or bucket for each pen, in order. */
import type { PlanLoadView, PlanView } from "../../engine/types";
import { loadWeek, savePlan, savePlanWorkbook } from "../../store/plan";
import { en } from "../../text/en";
import { Arrow } from "../day";

const words = en.plan;

/** The sheet, a week at a time. */
export function Loads({ view }: { view: PlanView }) {
  const week = Math.min(loadWeek.value, view.weeks.length);
  const known = view.weeks[week - 1];
  const go = (to: number) => (loadWeek.value = to);
  return (
    <section class="loads" aria-labelledby="loads-title">
      <h2 id="loads-title">{words.loads}</h2>
      <p class="quiet">{words.loadsHelp}</p>
      <div class="choose" role="group" aria-label={words.week}>
        <output>
          {known?.name} {known?.from}
        </output>
        <button type="button" class="plain" disabled={week <= 1} onClick={() => go(week - 1)}>
          <Arrow turn={180} />
          <span class="unseen">{words.previous}</span>
        </button>
        <span />
        <button type="button" class="plain" disabled={week >= view.weeks.length} onClick={() => go(week + 1)}>
          <Arrow turn={0} />
          <span class="unseen">{words.next}</span>
        </button>
      </div>
      <ol>
        {view.loads
          .filter((load) => load.week === week)
          .map((load, at) => (
            <li key={at}>
              <Load load={load} />
            </li>
          ))}
      </ol>
      <p class="acts">
        <button type="button" class="main" onClick={() => print()}>
          {words.printLoads}
        </button>
        <button type="button" class="plain" onClick={() => void savePlan("loads")}>
          {words.saveLoads}
        </button>
        <button type="button" class="plain" onClick={() => void savePlanWorkbook()}>
          {words.saveWorkbook}
        </button>
      </p>
    </section>
  );
}

/** One load. */
export function Load({ load }: { load: PlanLoadView }) {
  return (
    <>
      <h3>{load.place}</h3>
      <p>{load.title}</p>
      <ol>
        {load.parts.map((part) => (
          <li key={part.name}>
            {load.days.length === 0 && <i class="tick" />}
            <b>{part.name}</b> <span class="figure">{part.words}</span>
          </li>
        ))}
      </ol>
      {load.days.length > 0 && (
        <table class="by-day">
          <thead>
            <tr>
              <th scope="col">{words.loadDay}</th>
              <th scope="col">{words.loadHead}</th>
              {load.parts.map((part) => (
                <th key={part.name} scope="col">
                  {part.name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {load.days.map((day) => (
              <tr key={day.days}>
                <th scope="row">
                  <i class="tick" /> {day.days}
                </th>
                <td>{day.head}</td>
                {day.amounts.map((amount, at) => (
                  <td key={at} class="figure">
                    {amount}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {load.notes.map((note) => (
        <p key={note} class="quiet">
          {note}
        </p>
      ))}
    </>
  );
}
