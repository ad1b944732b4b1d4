/** What stands on screen where there is no sort: the pens cannot hold the flock, or a file cannot be read. */
import { useEffect, useRef } from "preact/hooks";
import type { DateQuestion, ImpossibleView, Problem } from "../engine/types";
import { Dates } from "../part/dates";
import { Problems } from "../part/problems";
import { busy, kept, readDates, set, sort, toStart } from "../store/sort";
import { en } from "../text/en";

function Title({ words }: { words: string }) {
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  return (
    <h1 ref={title} tabIndex={-1}>
      {words}
    </h1>
  );
}

/** The pens cannot hold the flock: by how much, and what would mend it. */
export function Impossible({ view }: { view: ImpossibleView }) {
  const held = kept().length > 0;
  const release = () => {
    set({ keep: [] });
    void sort();
  };
  return (
    <main id="content" class="stopped" tabIndex={-1}>
      <header class="lead">
        <Title words={view.headline} />
        <p>{en.impossible.title}</p>
      </header>
      <p class="caution">{view.caution}</p>
      <div class="columns">
        <section>
          <h2>{en.impossible.limits}</h2>
          <ul class="said">
            {view.limits.map((limit) => (
              <li key={limit}>{limit}</li>
            ))}
          </ul>
        </section>
        <section>
          <h2>{en.impossible.mends}</h2>
          <ol class="said">
            {view.mends.map((mend) => (
              <li key={mend}>{mend}</li>
            ))}
          </ol>
        </section>
      </div>
      {held && (
        <section class="held">
          <p>{en.impossible.kept}</p>
          <button type="button" class="main" disabled={busy.value !== ""} onClick={release}>
            {en.impossible.letGo}
          </button>
        </section>
      )}
      <p>
        <button type="button" class={held ? "plain" : "main"} onClick={toStart}>
          {en.impossible.change}
        </button>
      </p>
      {view.problems.length > 0 && (
        <section>
          <h2>{en.faults.title}</h2>
          <Problems problems={view.problems} />
        </section>
      )}
    </main>
  );
}

/** Nothing could be sorted: a question that only a person can answer, or what is wrong with the files. */
export function Unreadable(props: { headline: string; problems: Problem[]; question: DateQuestion | null }) {
  const { headline, problems, question } = props;
  return (
    <main id="content" class="stopped" tabIndex={-1}>
      <header class="lead">
        <Title words={headline} />
        {!question && <p>{en.unreadable.title}</p>}
      </header>
      {question && (
        <Dates question={question} busy={busy.value !== ""} choose={(order) => void readDates(order)} />
      )}
      {problems.length > 0 && (
        <section>
          <h2>{en.faults.title}</h2>
          <Problems problems={problems} />
          {!question && <p>{en.faults.mend}</p>}
        </section>
      )}
      <p>
        <button type="button" class={question ? "plain" : "main"} onClick={toStart}>
          {en.impossible.change}
        </button>
      </p>
    </main>
  );
}
