/** The room of regrouping: where the ewes stand, what moving them buys, and the moves in their order. */
import type { RegroupReply, RegroupView } from "../engine/types";
import { useArrival } from "../part/arrive";
import { CannotHold, NotYet, Remarks } from "../part/answer";
import { Benefit } from "../part/benefit";
import { MovesMade } from "../part/race/moved";
import { NoFlock } from "../part/rooms";
import { thinking } from "../store/aside";
import { KINDS } from "../store/files";
import { old, regroupDemo, regrouped, regroupFiles } from "../store/regroup";
import { demo, view } from "../store/sort";
import { en } from "../text/en";

const words = en.regroup;

/** The room. */
export function Regroup() {
  const title = useArrival();
  const answer = regrouped.value;
  return (
    <main id="content" class="regroup" tabIndex={-1}>
      <header class="lead">
        <h1 ref={title} tabIndex={-1}>
          {words.title}
        </h1>
        <p>{words.purpose}</p>
      </header>
      {view.value ? <From /> : <NoFlock room="regroup" />}
      {answer && <Answer answer={answer} />}
    </main>
  );
}

/** Where the old pens come from. */
function From() {
  const known = old.value;
  return (
    <section class="from" aria-labelledby="from-title">
      <h2 id="from-title">{words.from}</h2>
      {known ? (
        <p>
          <b>{known.name}</b>
          {known.words && <span class="words">{known.words}</span>}
        </p>
      ) : (
        <p class="quiet" id="from-help">
          {words.fromHelp}
        </p>
      )}
      <p class="acts">
        <label class={`button ${known ? "plain" : "main"}`}>
          {known ? words.other : words.pick}
          <input
            type="file"
            multiple
            accept={KINDS}
            data-slot="old"
            disabled={thinking.value !== ""}
            {...(known ? {} : { "aria-describedby": "from-help" })}
            onChange={(event) => {
              void regroupFiles([...(event.currentTarget.files ?? [])]);
              event.currentTarget.value = "";
            }}
          />
        </label>
        {demo.value && (
          <button
            type="button"
            class="plain"
            disabled={thinking.value !== ""}
            onClick={() => void regroupDemo()}
          >
            {words.demo}
          </button>
        )}
      </p>
      {demo.value && !known && <p class="quiet">{words.demoHelp}</p>}
    </section>
  );
}

function Answer({ answer }: { answer: RegroupReply }) {
  switch (answer.kind) {
    case "regrouped":
      return <Moves view={answer.view} />;
    case "impossible":
      return <CannotHold view={answer.view} />;
    case "unreadable":
      return <NotYet headline={answer.headline} problems={answer.problems} mend={words.retry} />;
  }
}

function Moves({ view: answer }: { view: RegroupView }) {
  return (
    <>
      <section class="advice" aria-label={words.pay}>
        <p>{answer.headline}</p>
        <p class="large">{answer.advice}</p>
        {answer.limits.length > 0 && (
          <>
            <h2>{words.limits}</h2>
            <ul class="said">
              {answer.limits.map((limit) => (
                <li key={limit}>{limit}</li>
              ))}
            </ul>
          </>
        )}
        <p class="caution">{answer.caution}</p>
      </section>
      <Benefit view={answer} />
      <section class="moves" aria-labelledby="moves-title">
        <h2 id="moves-title">{answer.moves_title || words.noMoves}</h2>
        {answer.moves.length > 0 && (
          <p class="acts">
            <button type="button" class="main" onClick={() => print()}>
              {words.print}
            </button>
          </p>
        )}
        {old.value?.atRace ? (
          <MovesMade moves={answer.moves} />
        ) : (
          <ol>
            {answer.moves.map((move, at) => (
              <li key={at}>{move.words}</li>
            ))}
          </ol>
        )}
      </section>
      <details>
        <summary>{words.basis}</summary>
        <p class="quiet">{answer.basis}</p>
      </details>
      <Remarks problems={answer.problems} />
    </>
  );
}

/** The moves on paper, each with a box to tick. */
export function MovesPaper({ view: answer }: { view: RegroupView }) {
  return (
    <article class="paper moves-paper">
      <header>
        <div>
          <h1>{words.title}</h1>
          <p>{answer.listed_words}</p>
          <p>{answer.moves_title || words.noMoves}</p>
        </div>
        <p class="when">
          {demo.value && <b>{en.demo.badge}</b>}
          <span>{old.value?.name}</span>
        </p>
      </header>
      <ol>
        {answer.moves.map((move, at) => (
          <li key={at}>
            <i />
            <span>{move.words}</span>
          </li>
        ))}
      </ol>
      <p class="basis">{answer.basis}</p>
      <footer>{answer.caution}</footer>
    </article>
  );
}
