/** The room about one ewe: her figures, and what she needs. */
import { useEffect } from "preact/hooks";
import type { NeedAnswer } from "../engine/types";
import { useArrival } from "../part/arrive";
import { About } from "../part/about";
import { Also, Amount } from "../part/amount";
import { Curves } from "../part/curves";
import { CompareTable, IntakeTable, SensitivityTable, TargetTable } from "../part/tables";
import { Working } from "../part/working";
import { answered, beginNeed, figure, form, stale, write } from "../store/need";
import { busy } from "../store/sort";
import { en } from "../text/en";

const words = en.need;

/** The room. */
export function Need() {
  const title = useArrival();
  useEffect(() => {
    void beginNeed();
  }, []);
  const written = form.value;
  const known = answered.value;
  return (
    <main id="content" class="need" tabIndex={-1}>
      <header class="lead">
        <h1 ref={title} tabIndex={-1}>
          {words.title}
        </h1>
        <p>{words.purpose}</p>
      </header>
      {!written && busy.value === "" && (
        <p class="go">
          <button type="button" class="plain" onClick={() => void beginNeed()}>
            {en.again}
          </button>
        </p>
      )}
      {written && (
        <div class="room">
          <About written={written} />
          {known && (
            <div class="answer">
              <Amount answer={known.answer} curves={known.curves} />
              <div class={stale.value ? "stale" : ""}>
                <Also answer={known.answer} />
                <Words answer={known.answer} />
                <Curves answer={known.answer} curves={known.curves} score={figure(written.condition)} />
                <Cautions answer={known.answer} />
              </div>
            </div>
          )}
        </div>
      )}
      {known && <Reasons answer={known.answer} />}
    </main>
  );
}

/** What her condition asks, in the engine's words. */
function Words({ answer }: { answer: NeedAnswer }) {
  const said = [answer.condition?.words, ...answer.notes].filter(Boolean);
  return (
    <div class="words">
      {said.map((line) => (
        <p key={line}>{line}</p>
      ))}
    </div>
  );
}

function Cautions({ answer }: { answer: NeedAnswer }) {
  return (
    <div class="words">
      {answer.condition?.warnings.map((line) => (
        <p key={line}>{line}</p>
      ))}
      <p class="caution">
        {answer.caveat} {answer.caution}
      </p>
    </div>
  );
}

function Reasons({ answer }: { answer: NeedAnswer }) {
  const by = answer.compare?.find(({ standard }) => standard === answer.protein_standard)?.name;
  return (
    <div class={`reasons ${stale.value ? "stale" : ""}`}>
      <section aria-labelledby="intake">
        <h2 id="intake">{words.intake}</h2>
        <p class="quiet">{words.intakeHelp}</p>
        <IntakeTable answer={answer} />
      </section>
      <details>
        <summary>{words.compare}</summary>
        <p class="quiet">{words.compareHelp}</p>
        <CompareTable answer={answer} />
      </details>
      <details
        open={form.value?.sensitivity ?? false}
        onToggle={(event) => write({ sensitivity: event.currentTarget.open })}
      >
        <summary>{words.sensitivity}</summary>
        <p class="quiet">{words.sensitivityHelp}</p>
        {answer.sensitivity && <SensitivityTable answer={answer} />}
      </details>
      {answer.condition && answer.condition.other_targets.length > 0 && (
        <details>
          <summary>{words.target}</summary>
          <TargetTable answer={answer} />
        </details>
      )}
      <details>
        <summary>{words.used}</summary>
        <Inputs answer={answer} by={by} />
      </details>
      <details>
        <summary>{words.workingTitle}</summary>
        <Working lines={answer.working} />
      </details>
      <p class="acts">
        <button type="button" class="plain" onClick={() => print()}>
          {words.print}
        </button>
      </p>
    </div>
  );
}

/** The inputs as the engine took them, given and assumed. */
function Inputs({ answer, by }: { answer: NeedAnswer; by: string | undefined }) {
  const { inputs } = answer;
  const names = words.inputs;
  const rows: [string, string][] = [
    [words.name, answer.standard_name],
    [names.weight, `${inputs.weight_kg.toFixed(1)} ${words.kg}`],
  ];
  if (inputs.conceptus_kg !== null)
    rows.push([names.conceptus, `${inputs.conceptus_kg.toFixed(1)} ${words.kg}`]);
  if (inputs.litter_weight_kg !== null)
    rows.push([names.birth, `${inputs.litter_weight_kg.toFixed(1)} ${words.kg}`]);
  rows.push([names.age, `${inputs.age_years} ${names.years}`]);
  if (answer.condition) {
    rows.push([names.condition, `${inputs.condition_term_mj_per_day.toFixed(1)} ${names.conditionUnit}`]);
  }
  if (by) rows.push([words.proteinBy, by]);
  rows.push([names.model, inputs.intake_model]);
  return (
    <dl class="facts">
      {rows.map(([name, value]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}
