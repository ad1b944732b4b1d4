/** The day, the period and the kind of farm. */
import type { Settings, System } from "../engine/types";
import { en } from "../text/en";

/** What is written in the fields, as written. */
export interface Written {
  day: string;
  month: string;
  year: string;
  period: string;
  system: System;
}

const DATE = ["day", "month", "year"] as const;

/** The fields as the settings have them. */
export function written(settings: Settings): Written {
  const [year = "", month = "", day = ""] = (settings.on ?? "").split("-");
  const plain = (text: string) => text.replace(/^0/, "");
  return {
    day: plain(day),
    month: plain(month),
    year,
    period: settings.period_days === undefined ? "" : String(settings.period_days),
    system: settings.system ?? "lowland",
  };
}

/** What the fields mean, or which of them cannot be read. Whether the calendar has such a day, the engine says. */
export function meant(fields: Written): { on: string; period: number | undefined } | "date" | "period" {
  const figures = [fields.day, fields.month, fields.year].map((text) => text.trim());
  const [day = "", month = "", year = ""] = figures;
  if (!/^\d{1,2}$/.test(day) || !/^\d{1,2}$/.test(month) || !/^\d{4}$/.test(year)) return "date";
  const period = fields.period.trim();
  if (!/^\d{0,3}$/.test(period)) return "period";
  return {
    on: `${year}-${month.padStart(2, "0")}-${day.padStart(2, "0")}`,
    period: period === "" ? undefined : Number(period),
  };
}

/** The fields. */
export function When(props: {
  fields: Written;
  fault: "date" | "period" | "";
  change: (to: Partial<Written>) => void;
}) {
  const { fields, fault, change } = props;
  const labels = { day: en.start.dayOfMonth, month: en.start.month, year: en.start.year };
  return (
    <>
      <fieldset class="date">
        <legend>{en.start.on}</legend>
        {fault === "date" && <Fault id="date-fault" words={en.start.dateFault} />}
        {DATE.map((name) => (
          <label key={name} class={name}>
            {labels[name]}
            <input
              type="text"
              inputmode="numeric"
              autocomplete="off"
              name={name}
              value={fields[name]}
              {...(fault === "date" ? { "aria-invalid": true, "aria-describedby": "date-fault" } : {})}
              onInput={(event) => change({ [name]: event.currentTarget.value })}
            />
          </label>
        ))}
      </fieldset>
      <div class="field">
        <label for="period">{en.start.period}</label>
        <p class="quiet" id="period-help">
          {en.start.periodHelp}
        </p>
        {fault === "period" && <Fault id="period-fault" words={en.start.periodFault} />}
        <input
          id="period"
          type="text"
          inputmode="numeric"
          autocomplete="off"
          value={fields.period}
          aria-describedby={fault === "period" ? "period-fault period-help" : "period-help"}
          aria-invalid={fault === "period"}
          onInput={(event) => change({ period: event.currentTarget.value })}
        />
      </div>
      <fieldset class="choice">
        <legend>{en.start.system}</legend>
        {Object.entries(en.start.systems).map(([system, words]) => (
          <label key={system}>
            <input
              type="radio"
              name="system"
              value={system}
              checked={fields.system === system}
              onChange={() => change({ system: system as System })}
            />
            <span>{words}</span>
          </label>
        ))}
      </fieldset>
    </>
  );
}

function Fault({ id, words }: { id: string; words: string }) {
  return (
    <p class="fault" id={id} role="alert">
      {words}
    </p>
  );
}
