// Middling problems against HiGHS, a general-purpose solver: the same optimum, and bounds below it.
// `cargo xtask test --only packages,solver` runs it. The model is written here from the problem's numbers alone.
//
// A level's best value is some item's need or a limit, so a bin's level on an axis is a choice among those; an
// item in a bin is then at one of the bin's levels, and the loss is a plain sum.

import { createRequire } from "node:module";
import { join } from "node:path";
import { example, output, root } from "./native.mjs";

const load = createRequire(join(root, "www", "package.json"))("highs");

/** Seconds that the general solver may take over one problem; what it cannot close by then is left out. */
const SECONDS = 20;
/** Difference that rounding and the solver's own tolerances may make. */
const NEAR = 1e-4;

/** The problem as a mixed-integer programme in the LP format. */
function model(problem) {
  const items = problem.need.map((_, item) => item);
  const goal = [];
  const rows = [];
  const binary = [];
  const add = (terms, sense, right) => rows.push(` ${terms.join(" ")} ${sense} ${right}`);
  const term = (factor, name) => `${factor < 0 ? "-" : "+"} ${Math.abs(factor)} ${name}`;
  for (const item of items) {
    const open = problem.bins.flatMap((_, bin) => (problem.may[item][bin] ? [bin] : []));
    add(open.map((bin) => term(1, `z_${item}_${bin}`)), "=", 1);
  }
  problem.bins.forEach((record, bin) => {
    const here = items.filter((item) => problem.may[item][bin]);
    for (const item of here) {
      binary.push(`z_${item}_${bin}`);
      if (problem.place_cost[item][bin] > 0) goal.push(term(problem.place_cost[item][bin], `z_${item}_${bin}`));
    }
    for (const resource of [0, 1]) {
      if (here.length > 0)
        add(here.map((item) => term(record.room[item][resource], `z_${item}_${bin}`)), "<=", record.capacity[resource]);
    }
    // One kind a bin, and between its fewest and its most head where it is used.
    const kinds = [...new Set(here.map((item) => problem.kind[item]))];
    for (const kind of kinds) {
      binary.push(`k_${bin}_${kind}`);
      const own = here.filter((item) => problem.kind[item] === kind);
      const all = problem.kind.filter((other) => other === kind).length;
      const sum = own.map((item) => term(1, `z_${item}_${bin}`));
      add([...sum, term(-record.max_head, `k_${bin}_${kind}`)], "<=", 0);
      add([...sum, term(-Math.min(record.min_head, all), `k_${bin}_${kind}`)], ">=", 0);
    }
    if (kinds.length > 0) add(kinds.map((kind) => term(1, `k_${bin}_${kind}`)), "<=", 1);
    if (problem.even > 0) {
      goal.push(term(problem.even, `d_${bin}`));
      const sum = (sign) => here.map((item) => term(sign, `z_${item}_${bin}`));
      add([term(1, `d_${bin}`), ...sum(-1)], ">=", -record.fair_head);
      add([term(1, `d_${bin}`), ...sum(1)], ">=", record.fair_head);
    }
    problem.axes.forEach(([low, high], axis) => {
      const needs = here.map((item) => Math.min(Math.max(problem.need[item][axis], low), high));
      const levels = [...new Set([low, high, ...needs])];
      levels.forEach((_, level) => binary.push(`y_${bin}_${axis}_${level}`));
      add(levels.map((_, level) => term(1, `y_${bin}_${axis}_${level}`)), "=", 1);
      for (const item of here) {
        const [under, over] = axis < problem.leading ? problem.slopes[item] : [1, 1];
        levels.forEach((level, at) => {
          const gap = problem.need[item][axis] - level;
          const loss = problem.weight[axis] * (under * Math.max(0, gap) + over * Math.max(0, -gap));
          const name = `w_${item}_${bin}_${axis}_${at}`;
          if (loss > 0) goal.push(term(loss, name));
          add([term(1, name), term(-1, `y_${bin}_${axis}_${at}`)], "<=", 0);
        });
        add(
          [...levels.map((_, at) => term(1, `w_${item}_${bin}_${axis}_${at}`)), term(-1, `z_${item}_${bin}`)],
          "=",
          0,
        );
      }
    });
  });
  problem.bins.forEach((_, bin) => {
    const name = (item) => (problem.may[item][bin] ? [term(1, `z_${item}_${bin}`)] : []);
    for (const [a, b] of problem.apart) {
      const both = [...name(a), ...name(b)];
      if (both.length > 1) add(both, "<=", 1);
    }
    for (const [first, ...others] of problem.together) {
      for (const other of others) {
        const less = problem.may[other][bin] ? [term(-1, `z_${other}_${bin}`)] : [];
        const both = [...name(first), ...less];
        if (both.length > 0) add(both, "=", 0);
      }
    }
  });
  return `Minimize\n obj: ${goal.join(" ") || "0 " + binary[0]}\nSubject To\n${rows.join("\n")}\nBinary\n ${binary.join("\n ")}\nEnd\n`;
}

const highs = await load();
const lines = output(example("middling"), []).map((line) => JSON.parse(line));
let passed = 0;
let failed = 0;
let left = 0;
const judge = (seed, faults) => {
  if (faults.length === 0) passed += 1;
  else failed += 1;
  for (const fault of faults) console.log(`problem ${seed}: ${fault}`);
};
let optimal = 0;
let impossible = 0;
for (const { seed, problem, answer } of lines) {
  const nowhere = problem.may.some((bins) => !bins.includes(true));
  const found = nowhere
    ? { Status: "Infeasible" }
    : highs.solve(model(problem), { time_limit: SECONDS, mip_rel_gap: 1e-7, output_flag: false });
  if (found.Status === "Infeasible") {
    impossible += 1;
    judge(seed, answer.status === "solved" ? ["no sort exists, yet one was found"] : []);
  } else if (found.Status === "Optimal") {
    const least = found.ObjectiveValue;
    const near = NEAR * Math.max(1, least);
    const faults = [];
    if (answer.status === "impossible") faults.push("called impossible, yet a sort exists");
    if (answer.status === "solved") {
      optimal += 1;
      if (answer.loss < least - near) faults.push(`loss ${answer.loss} below the optimum ${least}`);
      if (answer.quick_bound > least + near) faults.push(`quick bound ${answer.quick_bound} above ${least}`);
      if (answer.bound > least + near) faults.push(`bound ${answer.bound} above the optimum ${least}`);
      const proved = answer.proof === "Exhausted" || answer.proof === "Split";
      if (proved && answer.loss > least + near) faults.push(`${answer.loss} called the best, ${least} is`);
      if (answer.loss > least * 1.03 + near) faults.push(`loss ${answer.loss}, optimum ${least}`);
    }
    judge(seed, faults);
  } else {
    left += 1;
  }
}
console.log(`${optimal} optima, ${impossible} impossible, ${left} not closed in ${SECONDS} s and left out`);
judge("count", optimal >= 20 && impossible >= 5 ? [] : ["too few problems were closed for this to mean anything"]);
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;
