/** What one pen is fed in one week, and why. */
import type { PlanCellView, PlanPenView } from "../../engine/types";
import { en } from "../../text/en";

const words = en.plan;

/** The ration. */
export function Ration({ title, pen, cell }: { title: string; pen: PlanPenView; cell: PlanCellView }) {
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
