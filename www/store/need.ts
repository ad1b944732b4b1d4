/** The room about one ewe: what is written in its fields, and what the engine makes of it. */
import { batch, computed, effect, signal } from "@preact/signals";
import type { NeedAnswer, NeedCurves, NeedQuestion, Problem } from "../engine/types";
import { say } from "./screen";
import { asked } from "./sort";
import { en } from "../text/en";

/** Fields that are written as text. */
export type Field = "weight" | "condition" | "days" | "diet" | "growth";

/** What is written, as written, and what is chosen. */
export type Written = Record<Field, string> & Required<Pick<NeedQuestion, Chosen>> & { system: System };

type Chosen = "litter" | "weight_taken" | "age" | "housing" | "forage" | "standard" | "sensitivity";
type System = NonNullable<NonNullable<NeedQuestion["condition"]>["system"]>;

/** The fields; nothing before the engine has told its usual question. */
export const form = signal<Written | null>(null);

/** The last answer. */
export const answered = signal<{ answer: NeedAnswer; curves: NeedCurves } | null>(null);

/** Why the last question was refused. */
export const refused = signal<Problem | null>(null);

/** Fields that hold no figure. */
export const unread = computed<ReadonlySet<Field>>(() => new Set(form.value ? faulty(form.value) : []));

/** Whether the answer on screen is not the answer to what is written. */
export const stale = computed(() => refused.value !== null || unread.value.size > 0);

/** What the engine calls a field in its problems. */
const COLUMNS: Record<string, Field> = {
  weight: "weight",
  condition: "condition",
  "days-to-lambing": "days",
  diet: "diet",
  growth: "growth",
};

/** What is wrong with a field, in words; empty where nothing is. */
export function wrong(field: Field): string {
  if (unread.value.has(field)) return field === "days" ? en.need.unreadWhole : en.need.unread;
  const problem = refused.value;
  if (!problem || COLUMNS[problem.column ?? ""] !== field) return "";
  return `${problem.message} ${problem.hint}`;
}

/** What is wrong and belongs to no field. */
export const wrongElsewhere = computed(() => {
  const problem = refused.value;
  if (!problem || (problem.column ?? "") in COLUMNS) return "";
  return `${problem.message} ${problem.hint}`;
});

/** Changes what is written; the engine is asked at once. */
export function write(change: Partial<Written>): void {
  if (form.value) form.value = { ...form.value, ...change };
}

/** Learns the usual question, and asks it. */
export async function beginNeed(): Promise<void> {
  if (form.value) return;
  const usual = await asked(en.busy.starting, { ask: "usual need" });
  if (usual && form.peek() === null) beginWith(usual);
}

/** Writes a question into the fields; the engine is asked at once. */
export function beginWith(usual: NeedQuestion): void {
  form.value = {
    weight: String(usual.weight_kg ?? ""),
    condition: String(usual.condition?.score ?? ""),
    days: String(usual.days_to_lambing ?? ""),
    diet: String(usual.diet_me_mj_per_kg_dm ?? ""),
    growth: String(usual.growth_g_per_day ?? ""),
    litter: usual.litter ?? 0,
    weight_taken: usual.weight_taken ?? "without",
    age: usual.age ?? "mature",
    housing: usual.housing ?? "housed",
    forage: usual.forage ?? "good_silage",
    standard: usual.standard ?? "",
    sensitivity: usual.sensitivity ?? false,
    system: usual.condition?.system ?? "lowland",
  };
}

/** A figure as people write it. */
export function figure(text: string): number {
  const plain = text.trim().replace(",", ".");
  return /^-?\d+(\.\d*)?$/.test(plain) ? Number(plain) : NaN;
}

function faulty(written: Written): Field[] {
  const found: Field[] = [];
  for (const field of ["weight", "diet", "growth"] as const)
    if (Number.isNaN(figure(written[field]))) found.push(field);
  if (written.condition.trim() !== "" && Number.isNaN(figure(written.condition))) found.push("condition");
  if (written.litter > 0 && !/^\d{1,4}$/.test(written.days.trim())) found.push("days");
  return found;
}

function question(written: Written): NeedQuestion {
  const { litter, weight_taken, age, housing, forage, standard, sensitivity, system } = written;
  const chosen = { litter, weight_taken, age, housing, forage, standard, sensitivity };
  return {
    ...chosen,
    weight_kg: figure(written.weight),
    diet_me_mj_per_kg_dm: figure(written.diet),
    growth_g_per_day: figure(written.growth),
    ...(litter > 0 ? { days_to_lambing: Number(written.days) } : {}),
    ...(written.condition.trim() === "" ? {} : { condition: { score: figure(written.condition), system } }),
    // The names and caveats of all standards come with it.
    compare: true,
  };
}

let asking = false;
let next: NeedQuestion | null = null;

effect(() => {
  const written = form.value;
  if (!written) return;
  next = unread.value.size > 0 ? null : question(written);
  if (next) void askAll();
});

/** One question at a time: whatever was written meanwhile is asked next, and only the last of it. */
async function askAll(): Promise<void> {
  if (asking) return;
  asking = true;
  while (next) {
    const need = next;
    next = null;
    const reply = await asked("", { ask: "need", need });
    // An older answer, or none: what is written now decides. The rule does not see that `next` changes meanwhile.
    // eslint-disable-next-line @typescript-eslint/no-unnecessary-condition
    if (!reply || next) continue;
    batch(() => {
      refused.value = reply.kind === "refused" ? reply.problem : null;
      if (reply.kind === "answered") answered.value = { answer: reply.answer, curves: reply.curves };
    });
    if (reply.kind === "answered") {
      const { me_mj_per_day, mp_g_per_day } = reply.answer;
      say(en.need.said(me_mj_per_day.toFixed(1), mp_g_per_day.toFixed(0)));
    }
  }
  asking = false;
}
