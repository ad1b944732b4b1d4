// Linear programmes against HiGHS, a general-purpose solver: the same status and the same least cost.
// `cargo xtask test --only packages,programmes` runs it. The model is written here from the figures alone.

import { createRequire } from "node:module";
import { join } from "node:path";
import { example, output, root } from "./native.mjs";

const load = createRequire(join(root, "www", "package.json"))("highs");

/** Difference that both solvers' tolerances may make, relative to the cost. */
const NEAR = 1e-6;

/** The programme in the LP format; with `without`, one row or column's bounds left out. */
function model({ columns, rows }, without = {}) {
  const term = ([column, factor]) => `${factor < 0 ? "-" : "+"} ${Math.abs(factor)} x${column}`;
  const goal = columns.map(([cost], column) => term([column, cost])).join(" ");
  const limits = rows.flatMap(({ terms, low, high }, row) => {
    if (row === without.row || terms.length === 0) return [];
    const sum = terms.map(term).join(" ");
    if (low !== null && low === high) return [` ${sum} = ${low}`];
    return [...(low === null ? [] : [` ${sum} >= ${low}`]), ...(high === null ? [] : [` ${sum} <= ${high}`])];
  });
  const bounds = columns.map(([, low, high], column) => {
    if (column === without.column) return ` x${column} free`;
    return ` ${low ?? "-inf"} <= x${column} <= ${high ?? "+inf"}`;
  });
  return `Minimize\n obj: ${goal}\nSubject To\n${limits.join("\n")}\nBounds\n${bounds.join("\n")}\nEnd\n`;
}

const highs = await load();
const solve = (text) => highs.solve(text, { output_flag: false, primal_feasibility_tolerance: 1e-9, dual_feasibility_tolerance: 1e-9 });
const statuses = { Optimal: 0, Infeasible: 0, Unbounded: 0 };
let passed = 0;
let failed = 0;
const judge = (name, faults) => {
  if (faults.length === 0) passed += 1;
  else failed += 1;
  for (const fault of faults) console.log(`${name}: ${fault}`);
};
for (const line of output(example("programmes"), [])) {
  const { seed, programme, answer } = JSON.parse(line);
  const found = solve(model(programme));
  // What has no least and what is impossible are one to the presolve; without a goal only the second stays.
  const goalless = { ...programme, columns: programme.columns.map(([, low, high]) => [0, low, high]) };
  const unclear = !["Optimal", "Infeasible", "Unbounded"].includes(found.Status);
  const status = unclear ? (solve(model(goalless)).Status === "Infeasible" ? "Infeasible" : "Unbounded") : found.Status;
  statuses[status] += 1;
  const faults = [];
  if (answer.status !== status) faults.push(`${answer.status} (${answer.why ?? ""}), yet it is ${status}`);
  else if (status === "Optimal") {
    const size = Math.max(1, Math.abs(found.ObjectiveValue));
    const off = Math.abs(answer.cost - found.ObjectiveValue) / size;
    if (!(off <= NEAR)) faults.push(`cost ${answer.cost}, the least is ${found.ObjectiveValue}`);
    if (!(answer.fault <= NEAR)) faults.push(`breaks a limit by ${answer.fault}`);
    if (!(answer.gap !== null && answer.gap <= NEAR)) faults.push(`duality gap ${answer.gap}`);
  } else if (status === "Infeasible") {
    // The conflict is one, and a smallest: it alone is impossible, and less than it is not.
    const alone = {
      columns: programme.columns.map((column, place) => (answer.columns.includes(place) ? column : [0, null, null])),
      rows: answer.rows.map((row) => programme.rows[row]),
    };
    alone.columns = alone.columns.map(([, low, high]) => [0, low, high]);
    if (solve(model(alone)).Status !== "Infeasible") faults.push("the rows named do not conflict");
    for (let row = 0; row < alone.rows.length; row += 1) {
      if (solve(model(alone, { row })).Status === "Infeasible") faults.push(`row ${answer.rows[row]} has no part in it`);
    }
    for (const column of answer.columns) {
      if (solve(model(alone, { column })).Status === "Infeasible") faults.push(`column ${column} has no part in it`);
    }
  }
  judge(`programme ${seed}`, faults);
}
console.log(`${statuses.Optimal} optimal, ${statuses.Infeasible} impossible, ${statuses.Unbounded} without a least`);
const enough = statuses.Optimal >= 250 && statuses.Infeasible >= 75 && statuses.Unbounded >= 15;
judge("count", enough ? [] : ["too few of one kind were drawn for this to mean anything"]);
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;
