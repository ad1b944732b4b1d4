/** The room of rule cards: which kind, the card as it prints, and how good it is. */
import { useEffect } from "preact/hooks";
import type { CardReply, CardView } from "../engine/types";
import { useArrival } from "../part/arrive";
import { CannotHold, NotYet, Remarks } from "../part/answer";
import { CardSheet } from "../part/card-sheet";
import { Choice, pairs } from "../part/choice";
import { NoFlock } from "../part/rooms";
import { thinking } from "../store/aside";
import { card, findCard, kind, paper, tryCard, weighed, written } from "../store/card";
import { view } from "../store/sort";
import { en } from "../text/en";

const words = en.card;

/** The room. */
export function Card() {
  const title = useArrival();
  const known = view.value !== null;
  useEffect(() => {
    // A card that is being tried stays until somebody goes back to the one that was found.
    if (known && written.peek() === null) void findCard();
  }, [known, kind.value, weighed.value]);
  const answer = card.value;
  return (
    <main id="content" class="card-room" tabIndex={-1}>
      <header class="lead">
        <h1 ref={title} tabIndex={-1}>
          {words.title}
        </h1>
        <p>{words.purpose}</p>
      </header>
      {known ? <Ask /> : <NoFlock room="card" />}
      {known && answer && <Answer answer={answer} />}
      {known && !answer && thinking.value === "" && (
        <p class="go">
          <button type="button" class="plain" onClick={() => void findCard()}>
            {words.again}
          </button>
        </p>
      )}
    </main>
  );
}

function Ask() {
  const other = (change: () => void) => {
    written.value = null;
    change();
  };
  return (
    <form class="asking" noValidate onSubmit={(event) => event.preventDefault()} aria-label={words.title}>
      <Choice
        name="kind"
        legend={words.kind}
        options={pairs(words.kinds)}
        value={kind.value}
        change={(to) => other(() => (kind.value = to))}
      />
      <Choice
        name="weighed"
        legend={words.weighed}
        options={pairs(words.weighing)}
        value={weighed.value ? "yes" : "no"}
        change={(to) => other(() => (weighed.value = to === "yes"))}
      />
      <Choice
        name="paper"
        legend={words.paper}
        options={pairs(words.papers)}
        value={paper.value}
        change={(to) => (paper.value = to)}
      />
    </form>
  );
}

function Answer({ answer }: { answer: CardReply }) {
  switch (answer.kind) {
    case "card":
      return (
        <div class="card-answer">
          <div>
            <CardSheet view={answer.view} size={paper.value} />
          </div>
          <div class="beside">
            <p class="acts">
              <button type="button" class="main" onClick={() => print()}>
                {words.print}
              </button>
            </p>
            <Figures view={answer.view} />
            <Own text={answer.view.text} />
            <Remarks problems={answer.problems} />
          </div>
        </div>
      );
    case "impossible":
      return <CannotHold view={answer.view} />;
    case "unreadable":
      return (
        <>
          <NotYet headline={answer.headline} problems={answer.problems} mend="" />
          <Own text={written.value ?? ""} />
        </>
      );
  }
}

function Figures({ view: sheet }: { view: CardView }) {
  return (
    <section aria-labelledby="card-how">
      <h2 id="card-how">{words.how}</h2>
      <dl class="facts">
        {sheet.figures.map((figure) => (
          <div key={figure.name}>
            <dt>{figure.name}</dt>
            <dd>
              <b class="figure">{figure.value}</b> <span class="quiet">{figure.words}</span>
            </dd>
          </div>
        ))}
      </dl>
      <p class="caution">{sheet.caution}</p>
    </section>
  );
}

/** The card as text, to change and to try. */
function Own({ text }: { text: string }) {
  return (
    <details open={written.value !== null}>
      <summary>{words.own}</summary>
      <p class="quiet" id="own-help">
        {words.ownHelp}
      </p>
      <label for="own-text">{words.text}</label>
      <textarea
        id="own-text"
        rows={14}
        spellcheck={false}
        aria-describedby="own-help"
        value={written.value ?? text}
        onInput={(event) => (written.value = event.currentTarget.value)}
      />
      <p class="acts">
        <button
          type="button"
          class="plain"
          disabled={written.value === null || thinking.value !== ""}
          onClick={() => void tryCard()}
        >
          {words.try}
        </button>
        {written.value !== null && (
          <button
            type="button"
            class="plain"
            onClick={() => {
              written.value = null;
              void findCard();
            }}
          >
            {words.back}
          </button>
        )}
      </p>
    </details>
  );
}
