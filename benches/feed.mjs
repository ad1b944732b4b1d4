// How long a ration and a feeding plan take as WebAssembly, in Node's V8: `cargo xtask types && node benches/feed.mjs`.
// The demo farm. CPU time, since machines are shared: the median and the slowest of several runs.

import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const generated = process.argv[2] ?? join(root, "www", "engine", "generated");
const { initSync, AsideEngine, SortEngine, defaultSettings } = await import(pathToFileURL(join(generated, "evenfold.js")).href);
initSync({ module: readFileSync(join(generated, "evenfold_bg.wasm")) });

const file = (name) => readFileSync(join(root, "data", name));
const [flock, pens, groups, feeds] = ["example/flock.csv", "example/pens.csv", "example/groups.csv", "demo/feeds.csv"].map(file);
const [engine, sorting] = [new AsideEngine(), new SortEngine()];
const settings = { ...defaultSettings(), on: "2027-02-01" };

function timed(name, runs, work) {
  let words = "";
  const times = Array.from({ length: runs }, () => {
    const start = process.cpuUsage();
    words = work();
    const { user, system } = process.cpuUsage(start);
    return (user + system) / 1000;
  }).sort((a, b) => a - b);
  const [median, slowest] = [times[Math.floor(runs / 2)], times[runs - 1]].map((time) => time.toFixed(1));
  console.log(`${name}: median ${median} ms, slowest ${slowest} ms. ${words}`);
}

const said = (reply) => reply.view?.headline ?? reply.kind;
const sorted = () => sorting.sort(flock, pens, groups, settings);
timed("sort of the demo farm, which each plan makes anew", 5, () => sorted().kind);
for (const wish of [{ exact: true, handling_pence: 0 }, {}, { way: "mixed" }, { way: "topup" }, { one_recipe: true }, { flat: true }]) {
  const question = { ...engine.usualPlan(), ...wish };
  timed(`plan ${JSON.stringify(wish)}`, 5, () =>
    said(engine.feedingPlan(flock, pens, groups, settings, feeds, undefined, question)),
  );
}
for (const way of ["separate", "mixed"]) {
  const question = { ...engine.usualRation(), way };
  timed(`ration with its reasons, ${way}`, 21, () => said(engine.ration(feeds, question)));
}
