/** What is used of each feed, by month, and how its store goes down. */
import type { PlanView } from "../../engine/types";
import { savePlan } from "../../store/plan";
import { en } from "../../text/en";

const words = en.plan;

/** Each feed with its store. */
export function Stores({ view }: { view: PlanView }) {
  return (
    <section class="stores" aria-labelledby="stores-title">
      <h2 id="stores-title">{words.stores}</h2>
      <ul>
        {view.stores.map((store) => (
          <li key={store.name}>
            <h3>{store.name}</h3>
            <p>{store.words}</p>
            {store.left.length > 0 && (
              <svg
                viewBox={`0 0 ${store.left.length * 12} 40`}
                preserveAspectRatio="none"
                role="img"
                aria-label={`${store.name}: ${words.left}`}
              >
                {store.left.map((share, week) => (
                  <rect
                    key={week}
                    x={week * 12 + 1}
                    width="10"
                    y={40 - 40 * share}
                    height={Math.max(40 * share, 1)}
                  />
                ))}
                <path d={`M0,40H${store.left.length * 12}`} />
              </svg>
            )}
            <ul class="months">
              {store.months.map((month) => (
                <li key={month} class="figure">
                  {month}
                </li>
              ))}
            </ul>
          </li>
        ))}
      </ul>
      <p class="acts">
        <button type="button" class="plain" onClick={() => void savePlan("orders")}>
          {words.saveOrders}
        </button>
      </p>
    </section>
  );
}
