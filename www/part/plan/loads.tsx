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
      <h3>
        {en.result.pen} {load.pen}
      </h3>
      <p>{load.title}</p>
      <ol>
        {load.parts.map((part) => (
          <li key={part.name}>
            <i class="tick" />
            <b>{part.name}</b> <span class="figure">{part.words}</span>
          </li>
        ))}
      </ol>
      {load.notes.map((note) => (
        <p key={note} class="quiet">
          {note}
        </p>
      ))}
    </>
  );
}
