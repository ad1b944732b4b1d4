/** The room of the feeding plan: the feeds, how it is wished, the weeks, what to load, and the stores. */
import { useEffect } from "preact/hooks";
import type { PlanReply, PlanView } from "../engine/types";
import { useArrival } from "../part/arrive";
import { CannotHold, NotYet, Remarks } from "../part/answer";
import { Choice } from "../part/choice";
import { Calendar } from "../part/plan/calendar";
import { Loads } from "../part/plan/loads";
import { Stores } from "../part/plan/stores";
import { NoFlock } from "../part/rooms";
import { thinking } from "../store/aside";
import { feeds, plan, planned, takeDemoFeeds, takeFeeds, wish, wished } from "../store/plan";
import { demo, view } from "../store/sort";
import { en } from "../text/en";

const words = en.plan;

/** The room. */
export function Plan() {
  const title = useArrival();
  const known = view.value !== null;
  useEffect(() => {
    // What the plan stands on changed while another room was open.
    if (known && feeds.peek() && !planned.peek()) void plan();
  }, [known]);
  const answer = planned.value;
  return (
    <main id="content" class="plan-room" tabIndex={-1}>
      <header class="lead">
        <h1 ref={title} tabIndex={-1}>
          {words.title}
        </h1>
        <p>{words.purpose}</p>
      </header>
      {known ? <From /> : <NoFlock room="plan" />}
      {known && wished.value && <Wishes />}
      {known && answer && <Answer answer={answer} />}
      {known && feeds.value && !answer && thinking.value === "" && (
        <p class="go">
          <button type="button" class="plain" onClick={() => void plan()}>
            {words.again}
          </button>
        </p>
      )}
    </main>
  );
}

/** Where the list of feeds comes from. */
function From() {
  const known = feeds.value;
  return (
    <section class="from" aria-labelledby="feeds-title">
      <h2 id="feeds-title">{words.from}</h2>
      {known ? (
        <p>
          <b>{known.name}</b>
        </p>
      ) : (
        <p class="quiet" id="feeds-help">
          {words.fromHelp}
        </p>
      )}
      <p class="acts">
        <label class={`button ${known ? "plain" : "main"}`}>
          {known ? words.other : words.pick}
          <input
            type="file"
            accept=".csv,.txt,text/csv,text/plain"
            data-slot="feeds"
            {...(known ? {} : { "aria-describedby": "feeds-help" })}
            onChange={(event) => {
              const file = event.currentTarget.files?.[0];
              if (file) void takeFeeds(file);
              event.currentTarget.value = "";
            }}
          />
        </label>
        {demo.value && !known && (
          <button type="button" class="plain" onClick={() => void takeDemoFeeds()}>
            {words.demo}
          </button>
        )}
      </p>
      {demo.value && !known && <p class="quiet">{words.demoHelp}</p>}
    </section>
  );
}

const pairs = <K extends string>(of: Record<K, string>) => Object.entries(of) as [K, string][];

function Wishes() {
  const known = wished.value;
  if (!known) return null;
  const way = known.way ?? "";
  return (
    <form class="asking" noValidate onSubmit={(event) => event.preventDefault()} aria-label={words.wish}>
      <Choice
        name="way"
        legend={words.way}
        options={pairs(words.ways)}
        value={way as keyof typeof words.ways}
        change={(to) => void wish({ way: to })}
      />
      <Choice
        name="pattern"
        legend={words.pattern}
        options={pairs(words.patterns)}
        value={known.flat ? "flat" : "stepped"}
        change={(to) => void wish({ flat: to === "flat" })}
      />
      <Choice
        name="recipe"
        legend={words.recipe}
        options={pairs(words.recipes)}
        value={known.one_recipe ? "one" : "own"}
        change={(to) => void wish({ one_recipe: to === "one" })}
      />
      <Choice
        name="feeds-a-day"
        legend={words.feedsADay}
        options={[1, 2, 3].map((count) => [count, String(count)] as const)}
        value={known.most_feeds ?? 2}
        change={(to) => void wish({ most_feeds: to })}
      />
    </form>
  );
}

function Answer({ answer }: { answer: PlanReply }) {
  switch (answer.kind) {
    case "planned":
      return <Planned view={answer.view} />;
    case "impossible":
      return <CannotHold view={answer.view} />;
    case "refused":
      return <NotYet headline={words.refused} problems={answer.problems} mend={words.mend} />;
  }
}

function Planned({ view: shown }: { view: PlanView }) {
  return (
    <>
      <section class="advice">
        <p class="large">{shown.headline}</p>
        {shown.lines.map((line) => (
          <p key={line}>{line}</p>
        ))}
        <p class="caution">{shown.caution}</p>
      </section>
      <Calendar view={shown} />
      <Said title={words.happened} lines={shown.happened} />
      <section class="heed" aria-labelledby="heed-title">
        <h2 id="heed-title">{words.cautions}</h2>
        <ul class="said">
          {shown.cautions.map((caution) => (
            <li key={caution.words}>
              {caution.words} <span class="quiet">{caution.source}</span>
            </li>
          ))}
        </ul>
      </section>
      <Loads view={shown} />
      <Stores view={shown} />
      <Said title={words.withheld} lines={shown.withheld} />
      <details>
        <summary>{words.basis}</summary>
        <p class="quiet">{shown.basis}</p>
      </details>
      <Remarks problems={shown.problems} />
    </>
  );
}

function Said({ title, lines }: { title: string; lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <ul class="said">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </section>
  );
}
