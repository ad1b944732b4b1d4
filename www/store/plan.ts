/** The feeding plan: the feeds on the farm, how it is wished, and the engine's answer. */
import { batch, signal } from "@preact/signals";
import type { PlanQuestion, PlanReply } from "../engine/types";
import { askedAlone, askedAside, onOtherLists } from "./aside";
import { feeds } from "./feeds";
import { read, type Picked } from "./files";
import { saveFile, saveText, XLSX } from "./save";
import { say } from "./screen";
import { given } from "./sort";
import { en } from "../text/en";

/** How the plan is wished; nothing before the engine said what is usual. */
export const wished = signal<PlanQuestion | null>(null);

/** What was loaded and left, where the person has a list of it. */
export const loads = signal<Picked | null>(null);

/** The answer. */
export const planned = signal<PlanReply | null>(null);

/** The cell of the calendar that is open: pen and week, from 0. */
export const open = signal<{ pen: number; week: number }>({ pen: 0, week: 0 });

/** The week of the load sheet, from 1. */
export const loadWeek = signal(1);

onOtherLists(() => {
  planned.value = null;
  loads.value = null;
});

/** Takes a list of what was loaded and left, and plans anew with the appetites that it tells. */
export async function takeLoads(file: File): Promise<void> {
  loads.value = await read(file);
  await plan();
}

/** Changes how the plan is wished, and plans anew. */
export async function wish(to: Partial<PlanQuestion>): Promise<void> {
  if (!wished.value) return;
  wished.value = { ...wished.value, ...to };
  await plan();
}

let asking: Promise<void> | null = null;
let wanted = 0;

/** Plans. Wishes that come meanwhile are met by one more plan, the last. */
export function plan(): Promise<void> {
  wanted += 1;
  asking ??= planAll().finally(() => (asking = null));
  return asking;
}

async function planAll(): Promise<void> {
  for (let met = 0; met < wanted;) {
    met = wanted;
    const flock = given();
    const list = feeds.value;
    if (!flock || !list) return;
    wished.value ??= (await askedAlone("", { ask: "usual plan" })) ?? null;
    const question = wished.value;
    if (!question) return;
    const answer = await askedAside(en.busy.planning, {
      ask: "plan",
      ...flock,
      feeds: list.bytes,
      loads: loads.value?.bytes ?? null,
      question,
    });
    if (answer) show(answer);
  }
}

function show(answer: PlanReply): void {
  batch(() => {
    planned.value = answer;
    if (answer.kind !== "planned") return;
    const { pens, weeks } = answer.view;
    const worst = pens.flatMap((pen, at) => pen.weeks.map((cell, week) => ({ pen: at, week, cell })));
    const known = pens[open.value.pen]?.weeks[open.value.week];
    // The first look goes to what is not met.
    if (!known || known.state === "met")
      open.value =
        worst.find(({ cell }) => cell.ways_out.length > 0) ??
        worst.find(({ cell }) => cell.stopped_by.length > 0) ??
        open.value;
    loadWeek.value = Math.min(loadWeek.value, Math.max(weeks.length, 1));
  });
  if (answer.kind === "planned") say(answer.view.headline);
  else say(answer.kind === "impossible" ? answer.view.headline : en.plan.refused);
}

/** Saves the load sheet, or the feeds by month. */
export async function savePlan(what: "loads" | "orders"): Promise<void> {
  const list = await askedAside("", { ask: "plan list", what });
  if (list) saveText(list, what === "loads" ? "loads" : "feeds", "csv", "text/csv");
}

/** Saves both as one spreadsheet file. */
export async function savePlanWorkbook(): Promise<void> {
  const workbook = await askedAside("", { ask: "plan workbook" });
  if (workbook) saveFile(workbook, "plan", "xlsx", XLSX);
}
