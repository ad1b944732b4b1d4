/** A rule card as it prints: black on white, large enough to be read at arm's length. */
import type { CardQuestionLine, CardRow, CardTable, CardView } from "../engine/types";
import { demo } from "../store/sort";
import { en } from "../text/en";

const words = en.card;

/** More totals than this stand in two columns; more lines, heads counted, are set smaller, so that it stays one sheet. */
const [MANY, LONG] = [7, 13];

/** The card on its paper. */
export function CardSheet({ view, size }: { view: CardView; size: "a4" | "a5" }) {
  const lines = view.tables.reduce((sum, table) => sum + table.rows.length + 1, 0);
  return (
    <article class={`card-sheet ${size}${lines > LONG ? " long" : ""}`} aria-labelledby="card-title">
      <header>
        <h2 id="card-title">{view.title}</h2>
        <p>
          {demo.value && <b>{en.demo.badge}. </b>}
          {view.lead}
        </p>
      </header>
      <p class="use">{view.how}</p>
      {view.tables.length > 0 && (
        <div class="tables">
          {view.tables.map((table) => (
            <Points key={table.title} table={table} />
          ))}
        </div>
      )}
      {view.totals.length > 0 && <Totals rows={view.totals} />}
      {view.questions.length > 0 && <Questions lines={view.questions} />}
      {view.ewe_lambs && <p class="apart">{view.ewe_lambs}</p>}
      {view.rules.length > 0 && (
        <ul class="heed">
          {view.rules.map((rule) => (
            <li key={rule}>{rule}</li>
          ))}
        </ul>
      )}
      <dl class="share">
        {view.figures.slice(0, 2).map((figure) => (
          <div key={figure.name}>
            <dt>{figure.name}</dt>
            <dd>
              <b class="figure">{figure.value}</b> <span>{figure.words}</span>
            </dd>
          </div>
        ))}
      </dl>
      <footer>{view.caution}</footer>
    </article>
  );
}

function Points({ table }: { table: CardTable }) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{table.title}</th>
          <th scope="col" class="value">
            {words.points}
          </th>
        </tr>
      </thead>
      <tbody>
        {table.rows.map((row) => (
          <tr key={row.label}>
            <th scope="row">{row.label}</th>
            <td class="value figure">{row.value}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Totals({ rows }: { rows: readonly CardRow[] }) {
  return (
    <section class="totals" aria-labelledby="card-totals">
      <h3 id="card-totals">{words.total}</h3>
      <ul class={rows.length > MANY ? "many" : ""}>
        {rows.map((row) => (
          <li key={row.label}>
            <span>{row.label}</span> <b>{row.value}</b>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Questions({ lines }: { lines: readonly CardQuestionLine[] }) {
  return (
    <ol class="questions">
      {lines.map((line) => (
        <li key={line.number}>
          <p class="asks">
            <b class="figure" aria-hidden="true">
              {line.number}
            </b>
            <span>
              <span class="unseen">
                {words.question} {line.number}:{" "}
              </span>
              {line.question}
            </span>
          </p>
          <p class="yes">
            <span>{words.yes}</span> <b>{line.yes}</b>
          </p>
          <p class="no">
            <span>{words.no}</span> <b>{line.no}</b>
          </p>
        </li>
      ))}
    </ol>
  );
}
