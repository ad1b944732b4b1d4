/** A figure to write, between two buttons that make it less or more. */
import type { ComponentChildren } from "preact";
import { figure, form, write, wrong, type Field } from "../store/need";
import { en } from "../text/en";

/** The field; what the engine or the page finds wrong stands beside it. */
export function Stepper(props: {
  field: Field;
  label: string;
  unit?: string;
  step: number;
  /** From where an empty field steps. */
  from?: number;
  help?: string;
  children?: ComponentChildren;
}) {
  const { field, label, unit, step, from = 0, help, children } = props;
  const text = form.value?.[field] ?? "";
  const fault = wrong(field);
  const id = `need-${field}`;
  const now = figure(text);
  const go = (by: number) => {
    const to = Number.isNaN(now) ? from : Math.max(0, now + by);
    write({ [field]: String(Number(to.toFixed(2))) });
  };
  const told = [fault && `${id}-fault`, help && `${id}-help`].filter(Boolean).join(" ");
  return (
    <div class="stepper">
      <label for={id}>
        {label} {unit && <span class="unit">{unit}</span>}
      </label>
      {help && (
        <p class="quiet" id={`${id}-help`}>
          {help}
        </p>
      )}
      <div class="steps">
        <button type="button" class="plain" aria-label={en.need.less(label)} onClick={() => go(-step)}>
          <Sign path="M-10,0H10" />
        </button>
        <input
          id={id}
          type="text"
          inputmode={field === "days" ? "numeric" : "decimal"}
          autocomplete="off"
          value={text}
          aria-invalid={fault !== ""}
          {...(told ? { "aria-describedby": told } : {})}
          onInput={(event) => write({ [field]: event.currentTarget.value })}
        />
        <button type="button" class="plain" aria-label={en.need.greater(label)} onClick={() => go(step)}>
          <Sign path="M-10,0H10M0,-10V10" />
        </button>
      </div>
      {fault && (
        <p class="fault" id={`${id}-fault`} role="alert">
          {fault}
        </p>
      )}
      {children}
    </div>
  );
}

function Sign({ path }: { path: string }) {
  return (
    <svg class="arrow" width="28" height="28" viewBox="-14 -14 28 28" aria-hidden="true">
      <path d={path} />
    </svg>
  );
}
