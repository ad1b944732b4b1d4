/** The answer at a glance: energy and protein, and what she can eat. */
import type { NeedAnswer, NeedCurves } from "../engine/types";
import { stale, wrongElsewhere } from "../store/need";
import { en } from "../text/en";
import { own } from "./tables";

const words = en.need;

/** The figures; grey where what is written now could not be reckoned. */
export function Amount({ answer, curves }: { answer: NeedAnswer; curves: NeedCurves }) {
  const edges = answer.condition?.need_edges_mj_per_day;
  const [low, high] = [edges?.[0].toFixed(1) ?? "", edges?.[1].toFixed(1) ?? ""];
  return (
    <section class={`amount ${stale.value ? "stale" : ""}`} aria-labelledby="amount-title">
      <h2 id="amount-title">{words.answer}</h2>
      {stale.value && <p class="old">{words.stale}</p>}
      {wrongElsewhere.value && (
        <p class="fault" role="alert">
          {wrongElsewhere.value}
        </p>
      )}
      <dl>
        <div class="large">
          <dt>
            {curves.unit} {words.energy}
          </dt>
          <dd class="figure">{answer.me_mj_per_day.toFixed(1)}</dd>
          {low !== high && <dd class="band">{words.between(low, high)}</dd>}
        </div>
        <div class="large">
          <dt>
            {words.protein} {words.proteinName}
          </dt>
          <dd class="figure">{answer.mp_g_per_day.toFixed(0)}</dd>
        </div>
      </dl>
    </section>
  );
}

/** What stands under it: what she can eat, the diet, and the standard. */
export function Also({ answer }: { answer: NeedAnswer }) {
  return (
    <dl class="also">
      <div class="own on-paper">
        <dt>{words.form}</dt>
        <dd>{asked(answer)}</dd>
      </div>
      <div>
        <dt>{words.eats}</dt>
        <dd>
          <b class="figure">{answer.intake_kg_dm_per_day.toFixed(2)}</b> {words.dry}
        </dd>
      </div>
      <div>
        <dt>{words.densityName}</dt>
        <dd>
          <b class="figure">{answer.inputs.diet_me_mj_per_kg_dm}</b> {words.density}
        </dd>
      </div>
      {answer.own_units && (
        <div class="own">
          <dt>{words.own}</dt>
          <dd class="figure">{own(answer.own_units)}</dd>
        </div>
      )}
      <div class="own">
        <dt>{words.standard}</dt>
        <dd>{answer.standard_name}</dd>
      </div>
    </dl>
  );
}

/** Who was asked about, for paper, where there is no form. */
function asked({ inputs, condition }: NeedAnswer): string {
  const { weight_kg, litter, days_to_lambing: days } = inputs;
  const said = [`${weight_kg.toFixed(1)} ${words.kg}`, words.litters[litter] ?? String(litter)];
  if (days !== null) said.push(`${words.days}: ${days}`);
  if (condition) said.push(`${words.condition}: ${condition.score}`);
  return said.join("; ");
}
