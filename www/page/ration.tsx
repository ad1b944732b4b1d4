/** The room of one ration: who is fed, of what, and what changes when a price or a silage is another. */
import { useEffect } from "preact/hooks";
import type { RationQuestion, RationReply, RationView, Trying } from "../engine/types";
import { useArrival } from "../part/arrive";
import { NotYet } from "../part/answer";
import { Choice, pairs } from "../part/choice";
import { Feeds } from "../part/feeds";
import { Heed, Said } from "../part/said";
import { Slide } from "../part/slide";
import { Trials } from "../part/trials";
import { feeds } from "../store/feeds";
import { answered, before, otherFeeds, trying, wish, wished } from "../store/ration";
import { en } from "../text/en";

const words = en.ration;

/** The room. */
export function Ration() {
  const title = useArrival();
  useEffect(() => {
    // The list may have been given in another room.
    if (feeds.peek() && !answered.peek()) void otherFeeds();
  }, []);
  const answer = answered.value;
  const question = wished.value;
  const tried = trying.value;
  return (
    <main id="content" class="ration-room" tabIndex={-1}>
      <header class="lead">
        <h1 ref={title} tabIndex={-1}>
          {words.title}
        </h1>
        <p>{words.purpose}</p>
      </header>
      <Feeds offersDemo after={() => void otherFeeds()} />
      {question && tried && answer && (
        <div class="beside-each">
          <div>
            <Who question={question} trying={tried} />
            {answer.kind !== "refused" && <Trials />}
          </div>
          <Answer answer={answer} />
        </div>
      )}
    </main>
  );
}

function Who({ question, trying: { weights_kg, weeks } }: { question: RationQuestion; trying: Trying }) {
  const way = question.way ?? "";
  return (
    <form class="asking" noValidate onSubmit={(event) => event.preventDefault()} aria-label={words.who}>
      <Choice
        name="ration-litter"
        legend={en.need.litter}
        kind="lambs"
        options={en.need.litters.map((_, lambs) => [lambs, String(lambs)] as const)}
        notes={(lambs) => en.need.litters[lambs] ?? ""}
        value={question.litter ?? 0}
        change={(litter) => void wish({ litter })}
      />
      <Slide
        label={words.weight}
        at={question.weight_kg ?? weights_kg[0]}
        range={[...weights_kg, 1]}
        say={(kg) => `${kg} kg`}
        go={(weight_kg) => void wish({ weight_kg })}
      />
      <Slide
        label={words.weeks}
        at={question.weeks_to_lambing ?? weeks[0]}
        range={[...weeks, 1]}
        say={words.inWeeks}
        go={(weeks_to_lambing) => void wish({ weeks_to_lambing })}
      />
      <Choice
        name="ration-way"
        legend={en.plan.way}
        options={pairs(words.ways)}
        value={way as keyof typeof words.ways}
        change={(to) => void wish({ way: to })}
      />
    </form>
  );
}

function Answer({ answer }: { answer: RationReply }) {
  switch (answer.kind) {
    case "fed":
      return <Fed view={answer.view} />;
    case "impossible":
      return (
        <section class="refused">
          <div role="alert">
            <h2>{answer.headline}</h2>
          </div>
          <Said title={en.plan.stopped} lines={answer.conflict} />
          <Said title={en.plan.ways_out} lines={answer.ways_out} />
        </section>
      );
    case "refused":
      return <NotYet headline={en.plan.refused} problems={answer.problems} mend={en.plan.mend} />;
  }
}

function Fed({ view }: { view: RationView }) {
  const most = Math.max(...view.feeds.map((feed) => feed.kg_dm), 0.1);
  return (
    <section class="fed" aria-live="polite">
      <p class="large">{view.headline}</p>
      {before.value && before.value !== view.headline && <p class="quiet">{words.before(before.value)}</p>}
      <p>{view.way}</p>
      <ul class="parts">
        {view.feeds.map((feed) => (
          <li key={feed.name}>
            <b>{feed.name}</b> <span class="figure">{feed.words}</span>
            <i style={{ width: `${(100 * feed.kg_dm) / most}%` }} />
          </li>
        ))}
      </ul>
      <p>{view.total}</p>
      <p class="quiet">{view.weighing}</p>
      <p class="caution">{view.caution}</p>
      <Said title={words.short} lines={view.shortfalls} />
      <Said title={en.plan.stopped} lines={view.stopped_by} />
      <Said title={en.plan.ways_out} lines={view.ways_out} />
      <Heed cautions={view.cautions} />
      <Said title={words.prices} lines={view.prices} />
      <Said title={words.unused} lines={view.unused} />
      <Said title={en.plan.withheld} lines={view.withheld} />
      <details>
        <summary>{words.limits}</summary>
        <ul class="said">
          {view.limits.map((limit) => (
            <li key={limit.name} class={limit.state}>
              <b>{limit.name}</b> {limit.words}
            </li>
          ))}
        </ul>
      </details>
      <details>
        <summary>{en.plan.basis}</summary>
        <p class="quiet">{view.basis}</p>
      </details>
    </section>
  );
}
