/** The load sheets on paper: each week begins on a new A4, each feed has a box to tick. */
import type { PlanView } from "../../engine/types";
import { feeds } from "../../store/feeds";
import { demo } from "../../store/sort";
import { en } from "../../text/en";
import { Load } from "./loads";

/** All weeks. */
export function LoadPaper({ view }: { view: PlanView }) {
  return (
    <>
      {view.weeks.map((week, at) => (
        <article key={week.name} class="paper load-paper">
          <header>
            <div>
              <h1>{en.plan.sheet(week.name)}</h1>
              <p>{week.from}</p>
            </div>
            <p class="when">
              {demo.value && <b>{en.demo.badge}</b>}
              <span>{feeds.value?.name}</span>
            </p>
          </header>
          <div class="pens-loaded">
            {view.loads
              .filter((load) => load.week === at + 1)
              .map((load, index) => (
                <section key={index}>
                  <Load load={load} />
                </section>
              ))}
          </div>
          <footer>{view.caution}</footer>
        </article>
      ))}
    </>
  );
}
