/** The room of the feeding plan: the feeds, how it is wished, the weeks, what to load, and the stores. */
import { useEffect } from "preact/hooks";
import type { PlanQuestion, PlanReply, PlanView } from "../engine/types";
import { useArrival } from "../part/arrive";
import { CannotHold, NotYet, Remarks } from "../part/answer";
import { Choice, pairs } from "../part/choice";
import { Feeds } from "../part/feeds";
import { Calendar } from "../part/plan/calendar";
import { Loads } from "../part/plan/loads";
import { Stores } from "../part/plan/stores";
import { NoFlock } from "../part/rooms";
import { Heed, Said } from "../part/said";
import { thinking } from "../store/aside";
import { feeds } from "../store/feeds";
import { KINDS } from "../store/files";
import { loads, plan, planned, takeLoads, wish, wished } from "../store/plan";
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
      {known ? <Feeds offersDemo={demo.value !== null} after={() => void plan()} /> : <NoFlock room="plan" />}
      {known && wished.value && (
        <details class="wishes">
          <summary>
            {words.wish}: {chosen(wished.value)}
          </summary>
          <Wishes />
        </details>
      )}
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

/** What is chosen, in a line. */
function chosen(question: PlanQuestion): string {
  const ways: Record<string, string> = words.ways;
  return [
    ways[question.way ?? ""] ?? "",
    question.flat ? words.patterns.flat : words.patterns.stepped,
    question.one_recipe ? words.recipes.one : words.recipes.own,
  ]
    .map((said, at) => (at === 0 ? said : said.toLowerCase()))
    .join("; ");
}

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

/** What was loaded and left: by a list, as the farm keeps it. */
function Happened({ lines }: { lines: readonly string[] }) {
  return (
    <section class="happened" aria-labelledby="happened-title">
      <h2 id="happened-title">{words.happened}</h2>
      {lines.length === 0 && <p class="quiet">{words.happenedHelp}</p>}
      <ul class="said">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <p class="acts">
        <label class="button plain">
          {loads.value?.name ?? words.pickLoads}
          <input
            type="file"
            accept={KINDS}
            data-slot="loads"
            onChange={(event) => {
              const file = event.currentTarget.files?.[0];
              if (file) void takeLoads(file);
              event.currentTarget.value = "";
            }}
          />
        </label>
      </p>
    </section>
  );
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
      <Happened lines={shown.happened} />
      <Heed cautions={shown.cautions} />
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
