/** The tables of an answer about one ewe. */
import type { NeedAnswer, OwnUnitsAnswer } from "../engine/types";
import { en } from "../text/en";
import { Table } from "./table";

const words = en.need;
const signed = (figure: number) => `${figure < 0 ? "−" : "+"}${Math.abs(figure).toFixed(1)}\u00a0%`;

/** A need in a standard's own units. */
export function own({ energy, energy_unit, protein, protein_unit }: OwnUnitsAnswer): string {
  const second = protein === null ? "" : `, ${protein.toFixed(0)} ${protein_unit}`;
  return `${energy.toFixed(2)} ${energy_unit}${second}`;
}

/** Every standard, side by side. */
export function CompareTable({ answer }: { answer: NeedAnswer }) {
  const lines = answer.compare ?? [];
  const most = Math.max(...lines.map(({ me_mj_per_day }) => me_mj_per_day));
  const rows = lines.map((line) => ({
    name: line.name,
    bar: line.me_mj_per_day / most,
    note: [line.own_units && own(line.own_units), line.assumes].filter(Boolean).join("; "),
    here: line.standard === answer.standard,
    cells: [
      line.me_mj_per_day.toFixed(1),
      line.mp_g_per_day === null ? "–" : line.mp_g_per_day.toFixed(0),
      line.me_for_lambs_mj_per_day.toFixed(1),
      signed(line.me_against_first_percent),
    ],
  }));
  const heads = [words.name, words.me, words.protein, words.forLambs, words.against];
  return <Table label={words.compare} heads={heads} rows={rows} />;
}

/** What several sources make of her intake. */
export function IntakeTable({ answer }: { answer: NeedAnswer }) {
  const most = Math.max(...answer.intake_sources.map(({ kg_dm_per_day }) => kg_dm_per_day));
  const rows = answer.intake_sources.map((line) => ({
    name: line.source,
    bar: line.kg_dm_per_day / most,
    hollow: line.covers !== "everything",
    note: line.note,
    cells: [line.kg_dm_per_day.toFixed(2), line.percent_of_live_weight.toFixed(1), line.covers],
  }));
  const heads = [words.source, words.dry, words.ofWeight, words.covers];
  return <Table label={words.intake} heads={heads} rows={rows} />;
}

/** How far each uncertain figure moves the answer. */
export function SensitivityTable({ answer }: { answer: NeedAnswer }) {
  const rows = (answer.sensitivity ?? []).map((line) => ({
    name: line.name,
    note: line.why,
    cells: [line.standing, line.used, line.moved_to, signed(line.me_percent), signed(line.mp_percent)],
  }));
  const heads = [words.figure, words.standing, words.from, words.to, words.energyBy, words.proteinMoved];
  return <Table label={words.sensitivity} heads={heads} rows={rows} />;
}

/** What other bodies print as a target at lambing. */
export function TargetTable({ answer }: { answer: NeedAnswer }) {
  const rows = (answer.condition?.other_targets ?? []).map(
    ({ body, class: ewes, at_lambing: [low, high] }) => ({
      name: body,
      cells: [ewes, low === high ? String(low) : `${low} – ${high}`],
    }),
  );
  return <Table label={words.target} heads={[words.body, words.ewes, words.condition]} rows={rows} />;
}
