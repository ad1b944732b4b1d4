/** What is seen of her: lambs, condition, age, group; marks stand by themselves. */
import { computed } from "@preact/signals";
import type { AgeClass } from "../../engine/types";
import { view } from "../../store/journal/journal";
import { AGES } from "../../store/journal/card";
import { parts } from "../../store/journal/parts";
import { write } from "../../store/journal/race";
import { en } from "../../text/en";
import { Marks } from "./marks";

const SCORES = [1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5] as const;

/** The groups alone: the rest of what is shown changes with every ewe. */
const groupsKey = computed(() => JSON.stringify(view.value?.groups ?? []));
const groupsKnown = computed(() => JSON.parse(groupsKey.value) as string[]);

/** All of it. */
export function Fields() {
  return (
    <>
      <Lambs />
      <Condition />
      <Stays />
      <Marks />
    </>
  );
}

function Lambs() {
  const lambs = parts.lambs.value;
  return (
    <fieldset class="race-lambs">
      <legend class="unseen">{en.race.lambs}</legend>
      {[0, 1, 2, 3, 4].map((count) => {
        const here = count === 4 ? lambs === 4 || lambs === 5 : lambs === count;
        const words = en.race.lambWords[count === 4 && lambs === 5 ? 5 : count];
        return (
          <button
            key={count}
            type="button"
            aria-pressed={here}
            // A second tap on the last says five.
            onClick={() => write({ lambs: count === 4 && lambs === 4 ? 5 : count })}
          >
            <b>{count === 4 ? (here ? lambs : en.race.many) : count}</b>
            <small>{words}</small>
          </button>
        );
      })}
    </fieldset>
  );
}

function Condition() {
  const score = parts.score.value;
  const half = score === null ? null : Math.floor(score * 2) / 2;
  const isQuarter = score !== null && score !== half;
  return (
    <fieldset class="race-condition">
      <legend class="unseen">{en.race.condition}</legend>
      {SCORES.map((of) => (
        <button key={of} type="button" aria-pressed={half === of} onClick={() => write({ score: of })}>
          <b>{half === of && isQuarter ? score : of}</b>
          {of === 1 && <small>{en.race.condition}</small>}
        </button>
      ))}
      <button
        type="button"
        aria-pressed={isQuarter}
        disabled={half === null || half === 5}
        onClick={() => half !== null && write({ score: isQuarter ? half : half + 0.25 })}
      >
        <b>{en.race.quarter}</b>
      </button>
    </fieldset>
  );
}

function Stays() {
  const [age, group, marks] = [parts.age.value, parts.group.value, parts.marks.value];
  const groups = groupsKnown.value;
  const change = (to: AgeClass) => write({ age: age === to ? null : to });
  return (
    <div class={`race-stays${marks.length > 0 ? " beside" : ""}`}>
      <fieldset>
        <legend class="unseen">
          {en.race.age}, {en.race.stays}
        </legend>
        {AGES.map((of) => (
          <button key={of} type="button" aria-pressed={age === of} onClick={() => change(of)}>
            {en.race.ages[of]}
          </button>
        ))}
      </fieldset>
      {groups.length > 0 && (
        <label class="race-group">
          <span class="unseen">
            {en.race.group}, {en.race.stays}
          </span>
          <select
            value={group ?? ""}
            onChange={(event) => write({ group: event.currentTarget.value || null })}
          >
            <option value="">{en.race.noGroup}</option>
            {groups.map((of) => (
              <option key={of} value={of}>
                {of}
              </option>
            ))}
          </select>
        </label>
      )}
    </div>
  );
}
