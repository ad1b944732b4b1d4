// The same questions to the native engine and to its WebAssembly: the answers must be the same, byte for byte.
// `cargo xtask test --only engine,parity` runs it; by hand, `node tests/parity.mjs` after `cargo xtask types`.

import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { example, output, root } from "./native.mjs";

const generated = join(root, "www", "engine", "generated");
const compiled = (name) => new WebAssembly.Module(readFileSync(join(generated, name)));

/** The engine as the page of one file has it, and as the site loads it: in parts. */
const SHAPES = {
  whole: [compiled("evenfold_bg.wasm")],
  parts: ["part_0.wasm", "part_1.wasm", "part_2.wasm"].map(compiled),
};

/** A fresh engine with so many of its parts. A trap leaves one in no state to be used again, so each case has its own. */
let loaded = 0;
async function fresh(shape, parts) {
  const address = pathToFileURL(join(generated, "evenfold.js"));
  address.searchParams.set("copy", String((loaded += 1)));
  const engine = await import(address.href);
  const [first, ...later] = SHAPES[shape].slice(0, parts);
  const before = [engine.initSync({ module: first })];
  for (const part of later) before.push(new WebAssembly.Instance(part, { ...before }).exports);
  return engine;
}

async function answer(shape, { name, flock, pens, groups, settings, open, need, moves, old, card, count }) {
  const { SortEngine } = await fresh(shape, 2);
  const { AsideEngine } = await fresh(shape, 3);
  const [engine, aside] = [new SortEngine(), new AsideEngine()];
  const encode = (text) => new TextEncoder().encode(text);
  const files = [encode(flock), encode(pens), groups === null ? undefined : encode(groups), settings];
  const reply = engine.sort(...files);
  const document = engine.documentJson() ?? null;
  const proof = [];
  while (proof.length < 6) {
    const step = engine.proveStep();
    if (step === undefined) break;
    proof.push(step);
  }
  const sorted = {
    reply,
    document,
    proof,
    proved_document: engine.documentJson() ?? null,
    ewes: open.map((tag) => engine.ewe(tag) ?? null),
    csv: engine.penCsv() ?? null,
    need: engine.need(need),
  };
  const [picked, moved] = [[], []];
  for (const { tag, pen } of moves) {
    picked.push(engine.picked(tag) ?? null);
    moved.push(engine.putInto(tag, pen) ?? null);
  }
  const moved_document = engine.documentJson() ?? null;
  const taken_back = engine.takeBack() ?? null;
  const regroup = old === null ? null : aside.regroup(...files, [encode(old)]);
  const regroup_document = aside.regroupJson() ?? null;
  const regroup_of_three = aside.regroupMoves(3) ?? null;
  return {
    ...sorted,
    picked,
    moved,
    moved_document,
    taken_back,
    regroup,
    regroup_document,
    regroup_of_three,
    card: card === null ? null : aside.card(...files, card),
    card_document: aside.cardJson() ?? null,
    // Now the pens that stand, now equal ones: as the length of the list will have it.
    pen_count: count ? aside.penCount(...files, files[1].length % 2 === 0) : null,
    pen_count_document: aside.penCountJson() ?? null,
    old_pens: name === "demo" ? (aside.demoOldPens() ?? null) : null,
  };
}

/** The first difference in words, or nothing. Text is compared as it is, values as the JSON that they make. */
function difference(one, other) {
  const parts = new Set([...Object.keys(one), ...Object.keys(other)]);
  for (const part of parts) {
    const [left, right] = [one, other].map(({ [part]: value }) =>
      typeof value === "string" ? value : (JSON.stringify(value) ?? "absent"),
    );
    if (left !== right) {
      const length = Math.max(left.length, right.length);
      let at = 0;
      while (at < length && left[at] === right[at]) at += 1;
      const around = (text) => text.slice(Math.max(0, at - 60), at + 40);
      return `${part} differs at ${at}:\n  native ${around(left)}\n  wasm   ${around(right)}`;
    }
  }
  return undefined;
}

const native = example("parity");
const cases = output(native, ["--cases"]).map((line) => JSON.parse(line));
const expected = output(native, []).map((line) => JSON.parse(line));
let passed = 0;
let failed = 0;
function judge(name, fault) {
  if (fault === undefined) passed += 1;
  else failed += 1;
  if (fault !== undefined) console.log(`${name}: ${fault}`);
}

const kinds = {};
for (const [index, question] of cases.entries()) {
  const there = expected[index];
  kinds[there.reply.kind] = (kinds[there.reply.kind] ?? 0) + 1;
  for (const shape of Object.keys(SHAPES)) {
    try {
      judge(`${question.name}, ${shape}`, difference(there, await answer(shape, question)));
    } catch (error) {
      judge(`${question.name}, ${shape}`, `the WebAssembly engine failed: ${error}`);
    }
  }
}

// Plans and rations.
const fed = output(example("feeding"), []).map((line) => JSON.parse(line));
for (const [index, there] of fed.entries()) {
  for (const shape of Object.keys(SHAPES)) {
    const aside = new (await fresh(shape, 3)).AsideEngine();
    const [flock, pens, groups, feeds] = ["flock", "pens", "groups", "feeds"].map((key) =>
      new TextEncoder().encode(there[key]),
    );
    const { settings, question, ration } = there;
    const here = ration
      ? { reply: aside.ration(feeds, ration), trying: aside.trying(feeds) }
      : {
          reply: aside.feedingPlan(flock, pens, groups, settings, feeds, undefined, question),
          loads: aside.loadCsv() ?? null,
          orders: aside.ordersCsv() ?? null,
          workbook: [...(aside.planWorkbook() ?? [])],
        };
    if (there.workbook === null) there.workbook = [];
    const told = Object.fromEntries(Object.keys(here).map((key) => [key, there[key]]));
    judge(`feeding ${index}, ${shape}`, difference(told, here));
  }
}
const fedKinds = new Set(fed.map(({ ration, reply }) => `${ration ? "ration" : "plan"} ${reply.kind}`));
for (const kind of ["ration fed", "ration impossible", "plan planned", "plan impossible", "plan refused"])
  judge(`a case of ${kind}`, fedKinds.has(kind) ? undefined : "is none");

/** As the page takes its store: in pieces, each of whole lines. */
function inTwo(race, file) {
  const lines = file.split("\n");
  const half = lines.length >> 1;
  race.hear(lines.slice(0, half).join("\n"));
  race.hear(lines.slice(half).join("\n"));
  return race.takeHeard();
}

// The race: the same files taken and lists brought in, the same ewes told their pens and entered.
const races = output(example("journal"), []).map((line) => JSON.parse(line));
for (const [index, there, shape] of [...races.entries()].flatMap((race) => Object.keys(SHAPES).map((shape) => [...race, shape]))) {
  const { RaceEngine } = await fresh(shape, 1);
  const race = new RaceEngine();
  const bytes = (text) => new TextEncoder().encode(text);
  const here = {
    ...Object.fromEntries(
      ["files", "bring", "lists", "open", "looks", "enters", "device", "now", "moves", "leaves"].map((key) => [
        key,
        there[key],
      ]),
    ),
    taken: there.files.map((file) => inTwo(race, file)),
    brought: race.bring(there.bring, ...there.lists.map(bytes)),
    opened: race.open(there.open),
    looked: there.looks.map((look) => race.look(look)),
    gates: [],
    entered: [],
  };
  for (const request of there.enters) {
    here.gates.push(race.answer(request.card));
    here.entered.push(race.enter(request));
    race.catchUp();
  }
  const act = here.opened.acts[0]?.act ?? "";
  Object.assign(here, {
    moved: race.moved(there.moves),
    left: race.leave(there.leaves),
    undone: race.undo({ device: there.device, now: there.now, act }),
    viewed: race.view(there.device, there.now),
    stands: race.stands(),
    file: race.file(),
    flock: race.flockCsv(),
    pens: race.pensCsv() ?? null,
    groups: race.groupsCsv() ?? null,
  });
  const part = Object.keys(there).find((key) => JSON.stringify(there[key]) !== JSON.stringify(here[key]));
  judge(`race ${index}, ${shape}`, part === undefined ? undefined : `${part} differs`);
  const told = there.gates.filter((gate) => JSON.stringify(gate).includes('"pen"')).length;
  judge(`race ${index} moves ewes`, there.moved.reply?.lines?.length > 0 ? undefined : "nobody was moved");
  judge(`race ${index} lets ewes out`, there.left.reply?.lines?.length > 1 ? undefined : "nobody left her pen");
  judge(`race ${index} tells pens`, told > 0 ? undefined : "no gate names a pen");
}

// A comparison that cannot fail is none, and cases that are all alike are one case.
const changed = await answer("parts", { ...cases[0], settings: { ...cases[0].settings, under: 1, over: 4 } });
judge("a planted difference", difference(expected[0], changed) === undefined ? "was not seen" : undefined);
const missing = ["sorted", "impossible", "unreadable"].filter((kind) => !kinds[kind]);
judge("every kind of answer", missing.length > 0 ? `no case is ${missing.join(" or ")}` : undefined);
const kindsOf = (part) => new Set(expected.flatMap((answer) => answer[part] ?? []).map((reply) => reply?.kind));
for (const [part, wanted] of Object.entries({
  moved: ["moved", "refused"],
  taken_back: ["moved"],
  regroup: ["regrouped", "impossible", "unreadable"],
  card: ["card", "impossible", "unreadable"],
  pen_count: ["counted", "impossible", "unreadable"],
})) {
  const none = wanted.filter((kind) => !kindsOf(part).has(kind));
  judge(`every kind of ${part}`, none.length > 0 ? `no case is ${none.join(" or ")}` : undefined);
}
if (expected.length !== cases.length)
  judge("every case", `${expected.length} answers to ${cases.length} cases`);

console.log(
  Object.entries(kinds)
    .map(([kind, count]) => `${count} ${kind}`)
    .join(" · "),
);
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;
