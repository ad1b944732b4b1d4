/** The plan on paper: the load sheets, each week on a new A4, each feed with a box to tick; then the feeds to order. */
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
      <article class="paper order-paper">
        <header>
          <h1>{en.plan.stores}</h1>
          <p class="when">
            {demo.value && <b>{en.demo.badge}</b>}
            <span>{feeds.value?.name}</span>
          </p>
        </header>
        <ul>
          {view.stores.map((store) => (
            <li key={store.name}>
              <h2>
                <i class="tick" /> {store.name}
              </h2>
              <p>{store.words}</p>
              <p class="figure">{store.months.join("; ")}</p>
            </li>
          ))}
        </ul>
        <footer>{view.caution}</footer>
      </article>
    </>
  );
}
