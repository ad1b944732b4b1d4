/** The fields of the question about one ewe. */
import type { NeedAnswer } from "../engine/types";
import { answered, figure, write, type Written } from "../store/need";
import { en } from "../text/en";
import { Choice, pairs } from "./choice";
import { Stepper } from "./stepper";

const words = en.need;

/** The fields. Whatever is changed is asked at once. */
export function About({ written }: { written: Written }) {
  const answer = answered.value?.answer;
  return (
    <form class="about" noValidate onSubmit={(event) => event.preventDefault()} aria-label={words.form}>
      <Stepper field="weight" label={words.weight} unit={words.kg} step={1} />
      <Choice
        name="litter"
        legend={words.litter}
        kind="lambs"
        options={words.litters.map((_, lambs) => [lambs, String(lambs)] as const)}
        notes={(lambs) => words.litters[lambs] ?? ""}
        value={written.litter}
        change={(litter) => write({ litter })}
      />
      {written.litter > 0 && (
        <Stepper field="days" label={words.days} step={1}>
          <DaysSlider days={written.days} answer={answer} />
        </Stepper>
      )}
      <Stepper field="condition" label={words.condition} help={words.conditionHelp} step={0.25} from={3} />
      <Choice
        name="age"
        legend={words.age}
        options={pairs(words.ages)}
        value={written.age}
        change={(age) => write({ age })}
      />
      <Choice
        name="system"
        legend={en.start.system}
        options={pairs(en.start.systems)}
        value={written.system}
        change={(system) => write({ system })}
      />
      <Stepper field="diet" label={words.diet} unit={words.dietUnit} step={0.5} />
      <details>
        <summary>{words.more}</summary>
        <div class="fold">
          <Choice
            name="housing"
            legend={words.housing}
            options={pairs(words.housings)}
            value={written.housing}
            change={(housing) => write({ housing })}
          />
          <Stepper field="growth" label={words.growth} unit={words.growthUnit} step={10} />
          {written.litter > 0 && (
            <Choice
              name="taken"
              legend={words.taken}
              options={pairs(words.takens)}
              value={written.weight_taken}
              change={(weight_taken) => write({ weight_taken })}
            />
          )}
          <Choice
            name="forage"
            legend={words.forage}
            options={pairs(words.forages)}
            value={written.forage}
            change={(forage) => write({ forage })}
          />
        </div>
      </details>
      <details>
        <summary>{words.standard}</summary>
        {answer?.compare && (
          <Choice
            name="standard"
            legend={words.standard}
            kind="standards"
            options={answer.compare.map(({ standard, name }) => [standard, name] as const)}
            notes={(id) => answer.compare?.find(({ standard }) => standard === id)?.caveat ?? ""}
            value={written.standard}
            change={(standard) => write({ standard })}
          />
        )}
      </details>
    </form>
  );
}

function DaysSlider({ days, answer }: { days: string; answer: NeedAnswer | undefined }) {
  const last = answer?.inputs.term_days ?? 0;
  const now = figure(days);
  return (
    <input
      type="range"
      min={0}
      max={last}
      step={1}
      value={Number.isNaN(now) ? 0 : now}
      aria-label={words.daysSlide}
      aria-valuetext={words.asked(days)}
      onInput={(event) => write({ days: event.currentTarget.value })}
    />
  );
}
