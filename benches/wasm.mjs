// How long the engine takes as WebAssembly, in Node's V8: `cargo xtask types && node benches/wasm.mjs`.
// Flocks are invented, from fixed seeds. Prints the median and the slowest of several runs.

import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const generated = join(root, "www", "engine", "generated");
const { initSync, AsideEngine, RaceEngine, SortEngine, defaultSettings, demoFiles } = await import(pathToFileURL(join(generated, "evenfold.js")).href);
initSync({ module: readFileSync(join(generated, "evenfold_bg.wasm")) });

/** A small generator with a fixed seed. */
function dice(seed) {
  let state = seed;
  return () => {
    state = (state * 1664525 + 1013904223) % 4294967296;
    return state / 4294967296;
  };
}

function invented(ewes, pens) {
  const next = dice(11);
  const pick = (...of) => of[Math.floor(next() * of.length)];
  const rows = Array.from({ length: ewes }, (_, number) => {
    const day = new Date(Date.UTC(2027, 2, 1 + Math.floor(next() * 42))).toISOString().slice(0, 10);
    const condition = 1.5 + 0.5 * Math.floor(next() * 5);
    const weight = (60 + 35 * next()).toFixed(1);
    return [`E${number}`, pick(1, 1, 2, 2, 2, 3), condition, day, pick("mature", "shearling"), weight].join();
  });
  const shares = Array.from({ length: pens }, () => 0.6 + 0.8 * next());
  const whole = shares.reduce((sum, share) => sum + share);
  const room = shares.map((share, number) => {
    const head = ((ewes * share) / whole) * 1.08;
    return [String.fromCharCode(65 + number), (head * 0.54).toFixed(2), (head * 1.32).toFixed(2)].join();
  });
  return {
    flock: ["tag,litter,condition,due,age,weight_kg", ...rows].join("\n"),
    pens: ["pen,trough_m,area_m2", ...room].join("\n"),
  };
}

const encode = (text) => new TextEncoder().encode(text);

/** Median and slowest of some runs, ms, and what the last came to; the work is told which run it is. */
function timed(runs, work) {
  const times = [];
  let result;
  for (let run = 0; run < runs; run += 1) {
    const start = performance.now();
    result = work(run);
    times.push(performance.now() - start);
  }
  times.sort((a, b) => a - b);
  return { median: times[Math.floor(runs / 2)], slowest: times[runs - 1], result };
}

function tell(what, { median, slowest }, words = "") {
  console.log(`${what}: median ${median.toFixed(1)} ms, slowest ${slowest.toFixed(1)} ms. ${words}`);
}

for (const [ewes, pens, days, runs] of [
  [240, 7, 21, 15],
  [1000, 6, 1, 15],
  [1000, 6, 21, 15],
  [10000, 5, 1, 5],
]) {
  const farm = invented(ewes, pens);
  const [engine, aside] = [new SortEngine(), new AsideEngine()];
  const settings = { ...defaultSettings(), period_days: days };
  const [flock, room] = [encode(farm.flock), encode(farm.pens)];
  const sorted = timed(runs, () => engine.sort(flock, room, undefined, settings));
  const reply = sorted.result;
  tell(`${ewes} ewes, ${pens} pens, ${days} days`, sorted, reply.kind === "sorted" ? reply.view.quality : reply.kind);
  if (reply.kind !== "sorted" || ewes > 1000) continue;

  // Two weeks on, from where that sort put them; the new sort behind the curve included.
  const stands = encode(engine.penCsv());
  const later = { ...settings, on: daysOn(settings.on, 14) };
  const curve = timed(5, () => aside.regroup(flock, room, undefined, later, [stands]));
  tell("  regroup, its sort included", curve, curve.result.kind);
  for (const kind of ["points", "tree"]) {
    const card = timed(3, () => aside.card(flock, room, undefined, settings, { kind, weight_classes: false }));
    tell(`  card of ${kind}, judged on halves too`, card, card.result.kind);
  }
  let steps = 0;
  const proof = timed(1, () => {
    let last;
    for (let view = engine.proveStep(); view; view = engine.proveStep()) {
      last = view;
      steps += 1;
    }
    return last;
  });
  tell(`  proof, ${steps} steps`, proof, proof.result?.quality ?? "");
}

/** An ISO day so many days on. */
function daysOn(day, days) {
  return new Date(Date.parse(day) + days * 86_400_000).toISOString().slice(0, 10);
}

// A journal of 20,000 events, opened; then cards added, and the last act undone.
const { example } = await import("../tests/native.mjs");
const { execFileSync } = await import("node:child_process");
const file = execFileSync(example("journal"), ["--events", "20000"], { maxBuffer: 2 ** 28, encoding: "utf8" });
// Each journal is put away before the next is opened, as on a page that is opened anew: several at once would measure
// how memory grows. The first is the one that a shepherd waits for, its code not yet compiled well.
let journal = new RaceEngine();
const open = () => {
  journal.hear(file);
  return journal.takeHeard();
};
const first = timed(1, open);
tell("journal of 20,000 events opened for the first time", first);
const opened = [];
for (let run = 0; run < 15; run += 1) {
  journal.free();
  journal = new RaceEngine();
  opened.push(timed(1, open).median);
}
opened.sort((a, b) => a - b);
tell("  and again", { median: opened[7], slowest: opened[14] });
const now = (run) => ({ ms: 1800000000000 + 12000 * run, offset_minutes: 0 });
const card = (tag) => ({
  name: { tag }, read: null, lambs: 2, score: 2.5, age: null, group: null, marks: [], note: "", pen: null,
});
let act = "";
// The race opened on it: at the gate first, and then the draft, with the demo's pens.
const demo = demoFiles();
const lists = [undefined, encode(demo.pens), undefined];
const since = { ms: 1800000000000 + 86_400_000, offset_minutes: 0 };
journal.bring({ device: "bench", now: since }, ...lists);
const request = { device: "bench", now: since, settings: { ...journal.usual(since), expected: 300 } };
tell("  the race begun on it, without the draft", timed(5, () => journal.begin(request)));
tell("  the draft made", timed(1, () => journal.catchUp()));
const entered = timed(200, (run) => {
  const { reply } = journal.enter({ device: "bench", now: now(run), card: card(`new ${run}`), sure: true });
  act = reply.lines?.[0].id ?? act;
});
tell("a card entered", entered);
const undone = timed(100, (run) => journal.undo({ device: "bench", now: now(300 + run), act }));
tell("the last act undone, and brought back", undone);
tell("a tag looked up", timed(100, () => journal.look({ read: "0417", day: "2027-01-12" })));
