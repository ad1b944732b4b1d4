/** What every browser must let a person do with the built file: the same tour for all. */
import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { pathToFileURL } from "node:url";
import { inflateSync } from "node:zlib";
import { expect, test } from "../../../www/harness.ts";
import { BUILT, PICTURES } from "../support.ts";
import { told } from "../race-model.ts";
import { eid } from "../race-support.ts";
import { Site } from "../site-server.ts";
import {
  give,
  isThere,
  press,
  read,
  see,
  until,
  words,
  type Browser,
  type Start,
  type Tab,
} from "./visit.ts";

/** What one browser does otherwise than another, as far as it was seen. */
export interface Ways {
  /** Whether each file has a store of its own, so that a renamed one looks empty. */
  storeByFile: boolean;
}

/** A profile, the folder for what is saved, and the page under a name of its own. */
interface Place {
  profile: string;
  saved: string;
  page: string;
}

function place(): Place {
  const folder = mkdtempSync(join(tmpdir(), "evenfold-other-"));
  const [profile, saved] = [join(folder, "profile"), join(folder, "saved")];
  mkdirSync(saved);
  const page = join(folder, "evenfold.html");
  copyFileSync(BUILT, page);
  return { profile, saved, page };
}

const address = (file: string, room = "") =>
  `${pathToFileURL(file).href}${room}`;

async function openRace(tab: Tab, file: string): Promise<void> {
  await tab.go(address(file, "#race"));
  await see(tab, ".race-page, .race-gate");
}

async function begin(tab: Tab): Promise<void> {
  await press(tab, "button", "^Use the invented lists$");
  await until("the gate", async () => {
    if (await isThere(tab, "button", "^Back to the gate$"))
      await press(tab, "button", "^Back to the gate$");
    return isThere(tab, ".race-gate");
  });
}

/** Lambs and condition of the n-th ewe. */
const felt = (at: number): [number, number] => [1 + (at % 3), 2 + (at % 4) / 2];

async function enter(tab: Tab, at: number): Promise<void> {
  const [lambs, score] = felt(at);
  await read(tab, eid(at));
  await see(tab, ".race-name", eid(at));
  await press(tab, ".race-lambs button", undefined, lambs);
  await press(tab, ".race-condition button", undefined, (score - 1) * 2);
  await press(tab, "button.go");
  await see(tab, ".race-pen.done", eid(at));
}

/** Saves a backup; its text. */
async function backup(tab: Tab, { saved }: Place): Promise<string> {
  await press(tab, "button", "^Lists and backup$");
  await press(tab, "button", "^Save backup$");
  const files = () =>
    readdirSync(saved).filter((name) => name.endsWith(".jsonl"));
  await until("the backup's file", () =>
    Promise.resolve(
      files().some((name) => readFileSync(join(saved, name)).length > 0),
    ),
  );
  const name = files()[0] ?? "";
  await press(tab, "button", "^Back to the gate$");
  return join(saved, name);
}

function recorded(file: string): void {
  const ewes = [...told(readFileSync(file, "utf8"))]
    .filter(([tag]) => tag.startsWith("826"))
    .map(([tag, { lambs, score }]) => [tag, lambs, score]);
  expect(ewes).toEqual(
    Array.from({ length: 10 }, (_, at) => [eid(at), ...felt(at)]),
  );
}

/** How many sheets a PDF has; some write what says so packed. */
function sheets(pdf: Buffer): number {
  const plain = pdf.toString("latin1");
  const packed = [...plain.matchAll(/stream\r?\n/g)].map(
    ({ 0: mark, index }) => {
      try {
        return inflateSync(pdf.subarray(index + mark.length)).toString(
          "latin1",
        );
      } catch {
        return "";
      }
    },
  );
  const all = [plain, ...packed].join("\n");
  return all.match(/\/Type\s*\/Page[^s]/g)?.length ?? 0;
}

/** The tour, as tests. */
export function tour(name: string, start: Start, ways: Ways): void {
  const picture = async (tab: Tab, of: string) => {
    mkdirSync(PICTURES, { recursive: true });
    writeFileSync(join(PICTURES, `${name}-${of}.png`), await tab.picture());
  };
  /** With a browser; whatever it said of errors fails. */
  const within = async (
    { profile, saved }: Place,
    act: (tab: Tab, browser: Browser) => Promise<void>,
  ) => {
    const browser = await start(profile, saved);
    try {
      const tab = await browser.tab();
      await act(tab, browser).catch(async (error: unknown) => {
        await picture(tab, "failed").catch(() => undefined);
        throw error;
      });
      // Of a directive that it does not know, WebKit says so and goes on.
      const faults = browser.faults.filter(
        (fault) => !fault.includes("directive 'manifest-src'"),
      );
      expect(faults, "errors in the browser").toEqual([]);
    } finally {
      await browser.end();
    }
  };

  test(`${name}: the file opens, and sorts the demo flock`, async () => {
    const at = place();
    await within(at, async (tab) => {
      await tab.go(address(at.page));
      await picture(tab, "start");
      await press(tab, "button", "^Use the demo flock$");
      await see(tab, ".result h1", "ewes in 7 pens");
      await picture(tab, "sort");
      const paper = await tab.paper();
      expect(paper.subarray(0, 5).toString()).toBe("%PDF-");
      writeFileSync(join(PICTURES, `${name}-sort.pdf`), paper);
      expect(sheets(paper), "a sheet for each pen, and none besides").toBe(7);
    });
  });

  test(`${name}: the site loads its engine in parts`, async () => {
    const site = new Site();
    await site.start();
    const parts = () => site.asked.filter((name) => name.startsWith("engine"));
    await within(place(), async (tab) => {
      await tab.go(`${site.address}#race`);
      await begin(tab);
      await enter(tab, 0);
      expect(parts()).toContain(site.parts[0]);
      await tab.go(`${site.address}?sort#demo`);
      await see(tab, ".result h1", "ewes in 7 pens");
      await tab.go(`${site.address}?feed#ration`);
      await press(tab, "button", "^Use invented feeds$");
      await see(tab, ".fed");
      expect(new Set(parts())).toEqual(new Set(site.parts));
    }).finally(() => site.stop());
    site.remove();
  });

  test(`${name}: ten ewes are there again after the browser was closed; a backup fills an empty store`, async () => {
    const at = place();
    await within(at, async (tab) => {
      await openRace(tab, at.page);
      await begin(tab);
      for (let ewe = 0; ewe < 9; ewe++) await enter(tab, ewe);
      await picture(tab, "race");
      await enter(tab, 9);
    });
    let file = "";
    await within(at, async (tab) => {
      await openRace(tab, at.page);
      await see(tab, ".race-run", "Resumed: 10 ewes");
      await see(tab, ".race-run", "10 ewes today");
      file = await backup(tab, at);
      recorded(file);
    });
    const renamed = join(at.profile, "../evenfold-2.html");
    copyFileSync(at.page, renamed);
    await within(at, async (tab) => {
      await openRace(tab, renamed);
      expect(await isThere(tab, ".race-first")).toBe(ways.storeByFile);
    });
    const clean = place();
    await within(clean, async (tab) => {
      await openRace(tab, clean.page);
      await see(
        tab,
        ".race-first",
        "a page under another name has its own store",
      );
      await see(tab, "label.button", "^Open a backup$");
      await picture(tab, "empty");
      await give(tab, "[data-race=backup]", file);
      await see(tab, ".race-run", "10 ewes today");
      if (await isThere(tab, "button", "^Back to the gate$"))
        await press(tab, "button", "^Back to the gate$");
      const again = await backup(tab, clean);
      expect(readFileSync(again, "utf8")).toBe(readFileSync(file, "utf8"));
    });
  });

  test(`${name}: of two windows one writes, and the other takes over`, async () => {
    const at = place();
    await within(at, async (tab, browser) => {
      await openRace(tab, at.page);
      await begin(tab);
      await enter(tab, 1);
      const second = await browser.tab();
      await openRace(second, at.page);
      await see(second, "[role=alert]", "only reads");
      await see(second, ".race-run", "1 ewe today");
      await tab.close();
      await until("that it takes over", async () => {
        return !(await isThere(second, "[role=alert]", "only reads"));
      });
      await enter(second, 2);
      await see(second, ".race-run", "2 ewes today");
    });
  });

  test(`${name}: what is said of one copy is said where there is one`, async () => {
    const at = place();
    await within(at, async (tab) => {
      await openRace(tab, at.page);
      await begin(tab);
      await enter(tab, 1);
      await press(tab, "button", "^Lists and backup$");
      const hasTwo = await tab.value<boolean>("'storageBuckets' in navigator");
      await see(tab, ".race-page", "Backup");
      await picture(tab, "more");
      expect(await isThere(tab, ".race-once")).toBe(!hasTwo);
    });
  });

  test(`${name}: lists of one's own, the needs of a ewe, a ration and a plan`, async () => {
    const at = place();
    await within(at, async (tab) => {
      const lists = ["flock", "pens", "groups"].map((list) =>
        join(import.meta.dirname, `../../../data/example/${list}.csv`),
      );
      await tab.go(address(at.page));
      await until("the year", () =>
        tab.value("document.querySelector('form input[id]') !== null"),
      );
      await give(tab, "input[type=file][multiple]", ...lists);
      for (const list of lists) await see(tab, ".start li", basename(list));
      await press(tab, "button", "^Sort the flock$");
      await see(tab, ".result h1", "ewes in 7 pens");
      await press(tab, "nav[aria-label=Rooms] button", "^Feed plan$");
      const feeds = join(import.meta.dirname, "../../../data/demo/feeds.csv");
      await give(tab, "[data-slot=feeds]", feeds);
      await see(tab, ".calendar");
      await picture(tab, "plan");
      await tab.go("about:blank");
      await tab.go(address(at.page, "#need"));
      await see(tab, ".amount", "MJ ME");
      await picture(tab, "need");
      await tab.go("about:blank");
      await tab.go(address(at.page, "#ration"));
      await press(tab, "button", "^Use invented feeds$");
      await see(tab, ".fed");
      await picture(tab, "ration");
      expect(await words(tab, "h1")).not.toBe("");
    });
  });
}
