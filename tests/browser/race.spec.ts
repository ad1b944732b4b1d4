/** The race's screen: three taps a ewe, the pen at once, undo, questions, and everything in reach. */
import {
  AxeBuilder,
  example,
  expect,
  list,
  openStart,
  test,
  type Page,
} from "./support.ts";
import {
  backup,
  beginBare,
  beginWithPens,
  condition,
  eid,
  enterEwe,
  go,
  lambs,
  lines,
  openRace,
  stored,
  toMore,
  wedge,
} from "./race-support.ts";
import { readFileSync } from "node:fs";

test("three taps a ewe when her tag is read, and the pen is told before the third", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  await wedge(page, eid(1));
  await expect(page.locator(".race-name")).toContainText(eid(1));
  await lambs(page, 3);
  await condition(page, 2);
  const told = page.locator(".race-pen");
  await expect(told.locator(".race-to")).toContainText("Pen");
  await expect(told).toContainText("Triplets, condition 2.0 (thin)");
  await expect(told).toContainText("places left");
  await expect(told).toContainText("Next best: pen");
  const pen = (await told.locator(".race-to b").textContent()) ?? "";
  expect(await lines(page)).not.toContainEqual(
    expect.objectContaining({
      what: expect.objectContaining({ kind: "pen_given" }) as unknown,
    }),
  );
  await go(page);
  await expect(page.locator(".race-pen.done")).toContainText(
    `${eid(1)} goes to pen ${pen}.`,
  );
  await expect(page.locator(".race-pen.done")).toContainText("Saved");
  const her = (await lines(page)).filter(
    ({ what }) => (what.eid ?? what.ewe?.eid) === eid(1),
  );
  expect(her.map(({ what }) => what.kind)).toEqual([
    "ewe_met",
    "scanned",
    "condition_scored",
    "pen_given",
  ]);
  expect(her.at(-1)?.what.pen).toBe(pen);
});

test("two taps when her scan is on record, and her tag as it is known", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page, true);
  await page.locator("#race-tag").fill("EV0414");
  await page.keyboard.press("Enter");
  await expect(page.locator(".race-name")).toContainText("EV0414");
  await expect(page.locator(".race-name")).toContainText("On record: triplets");
  await expect(page.locator(".race-lambs button").nth(3)).toHaveAttribute(
    "aria-pressed",
    "true",
  );
  await condition(page, 2.5);
  await go(page);
  await expect(page.locator(".race-pen.done")).toContainText("EV0414 goes to");
  const events = await lines(page);
  expect(events.at(-1)?.what.kind).toBe("pen_given");
  expect(
    events.filter(
      ({ what }) => what.kind === "scanned" && what.ewe?.tag === "EV0414",
    ).length,
    "the scan is not entered again",
  ).toBeLessThanOrEqual(1);
});

test("a reader types wherever the focus is, and leaves no trace in a field", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  const note = page.getByRole("textbox", { name: "Note" });
  await note.fill("limps");
  await note.focus();
  await page.keyboard.type(`LA 826 072434500099`, { delay: 0 });
  await page.keyboard.press("Enter");
  await expect(page.locator(".race-name")).toContainText("826072434500099");
  await expect(note).toHaveValue("limps");
});

test("what cannot be a tag is refused in words, and nothing is entered", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  const before = (await stored(page)).length;
  for (const misread of ["82607243450009", "000000000000000", "LR 0001"]) {
    await wedge(page, misread);
    await expect(page.getByRole("alert")).toBeVisible();
    await expect(page.locator(".race-name")).toHaveCount(0);
    await page.getByRole("alert").getByRole("button").click();
  }
  expect((await stored(page)).length).toBe(before);
});

test("a second read today asks what is meant", async ({ page }) => {
  await openRace(page);
  await beginWithPens(page);
  await enterEwe(page, eid(7), 2, 3);
  await wedge(page, eid(7));
  const asks = page.locator(".race-ask");
  await expect(asks).toContainText("was read today already");
  await asks.getByRole("button", { name: "Another ewe" }).click();
  await expect(page.locator(".race-name")).toHaveCount(0);
  await wedge(page, eid(7));
  await asks.getByRole("button", { name: "It is her: correct it" }).click();
  await condition(page, 2.5);
  await go(page);
  await expect(page.locator(".race-pen.done")).toContainText(eid(7));
  const scores = (await lines(page)).filter(
    ({ what }) => what.kind === "condition_scored",
  );
  expect(scores.map(({ what }) => what.score)).toEqual([3, 2.5]);
});

test("another read before go never sweeps a ewe away; the same read twice is no news", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  await wedge(page, eid(61));
  await lambs(page, 2);
  await wedge(page, eid(61));
  await expect(page.locator(".race-lambs button").nth(2)).toHaveAttribute(
    "aria-pressed",
    "true",
  );
  await condition(page, 3);
  await wedge(page, eid(62));
  const asks = page.locator(".race-ask");
  await expect(asks).toContainText(`${eid(61)} is not entered yet.`);
  await asks.getByRole("button", { name: "Enter her, then the next" }).click();
  await expect(page.locator(".race-name")).toContainText(eid(62));
  await expect(page.locator(".race-run")).toContainText("1 ewe today, 2 lambs");
  await expect(page.locator(".race-lambs [aria-pressed=true]")).toHaveCount(0);
});

test("what is rare is asked, not refused; one tap enters it", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  await wedge(page, eid(9));
  await lambs(page, 1);
  await condition(page, 1);
  await go(page);
  const asks = page.locator(".race-ask");
  await expect(asks).toContainText("Condition 1.0 is rare. Is it meant?");
  await asks.getByRole("button", { name: "It is so: enter it" }).click();
  await expect(page.locator(".race-pen.done")).toContainText(eid(9));
});

test("another pen in one tap, recorded as overruled", async ({ page }) => {
  await openRace(page);
  await beginWithPens(page);
  await wedge(page, eid(3));
  await lambs(page, 2);
  await condition(page, 3);
  await expect(page.locator(".race-to b")).toBeVisible();
  const told = (await page.locator(".race-to b").textContent()) ?? "";
  const other = told === "B" ? "C" : "B";
  await page
    .getByRole("button", { name: `Send her into pen ${other},` })
    .click();
  await expect(page.locator(".race-pen.done .race-to b")).toHaveText(other);
  const last = JSON.parse(String((await stored(page)).at(-1))) as {
    what: { pen: string; advised: { pen: string; words: string } };
  };
  expect(last.what.pen).toBe(other);
  expect(last.what.advised.pen).toBe(told);
  expect(last.what.advised.words).not.toBe("");
});

test("age and group stay until changed; identity, lambs and condition never do", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  await wedge(page, eid(11));
  await page.getByRole("button", { name: "Shearling" }).click();
  await page.locator(".race-group select").selectOption({ index: 1 });
  const group = await page.locator(".race-group select").inputValue();
  await lambs(page, 2);
  await condition(page, 3);
  await go(page);
  await expect(page.locator(".race-pen.done")).toBeVisible();
  await expect(page.getByRole("button", { name: "Shearling" })).toHaveAttribute(
    "aria-pressed",
    "true",
  );
  expect(await page.locator(".race-group select").inputValue()).toBe(group);
  await expect(page.locator(".race-name")).toHaveCount(0);
  await expect(
    page.locator(
      ".race-lambs [aria-pressed=true], .race-condition [aria-pressed=true]",
    ),
  ).toHaveCount(0);
});

test("undo takes back act after act, and the list brings one back", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page);
  for (let at = 0; at < 3; at++) await enterEwe(page, eid(20 + at), 2, 3);
  await expect(page.locator(".race-run")).toContainText("3 ewes today");
  for (const left of ["2 ewes today", "1 ewe today", "No ewe yet today"]) {
    await page.getByRole("button", { name: /^Undo: / }).click();
    await expect(page.locator(".race-run")).toContainText(left);
  }
  await page.getByRole("button", { name: "Last acts" }).click();
  await page
    .getByRole("button", { name: /^Bring back: / })
    .first()
    .click();
  await expect(page.locator(".race-run")).toContainText("1 ewe today");
});

test("by a keypad alone: tag, lambs, condition, go, undo", async ({ page }) => {
  await openRace(page);
  await beginWithPens(page);
  await page.locator("body").click({ position: { x: 2, y: 2 } });
  const press = async (keys: string[]) => {
    for (const key of keys) {
      await page.keyboard.press(key);
      await page.waitForTimeout(90);
    }
  };
  await press(["0", "4", "1", "7", "Enter"]);
  await expect(page.locator(".race-name")).toContainText("0417");
  await press(["2", "2", "5"]);
  await expect(page.locator(".race-to b")).toBeVisible();
  await press(["Enter"]);
  await expect(page.locator(".race-pen.done")).toContainText("0417 goes to");
  const kinds = (await lines(page)).filter(
    ({ what }) => what.ewe?.tag === "0417",
  );
  expect(
    kinds.map(({ what }) => what.lambs ?? what.score ?? what.kind),
  ).toEqual([2, 2.5, "pen_given"]);
  await press(["-"]);
  await expect(page.locator(".race-run")).toContainText("No ewe yet today");
});

test("no tag at all: the next running number", async ({ page }) => {
  await openRace(page);
  await beginBare(page);
  await page.getByRole("button", { name: "Next number" }).click();
  await expect(page.locator(".race-name")).toContainText("no. 1");
});

test("marks, a note, and the same note again", async ({ page }) => {
  await openRace(page);
  await beginWithPens(page);
  await wedge(page, eid(31));
  await page.getByRole("button", { name: "Lame" }).click();
  await page.getByRole("textbox", { name: "Note" }).fill("near hind");
  await lambs(page, 1);
  await condition(page, 3);
  await go(page);
  await expect(page.locator(".race-pen.done")).toBeVisible();
  const kinds = (await lines(page)).map(({ what }) => what.kind);
  expect(kinds).toEqual(expect.arrayContaining(["marked", "noted"]));
  await page.getByRole("button", { name: "Same note" }).click();
  await expect(page.getByRole("textbox", { name: "Note" })).toHaveValue(
    "near hind",
  );
});

test("rows of a list that are wrong are named and the rest is in; one undo takes it back", async ({
  page,
}) => {
  await openRace(page);
  await beginBare(page);
  await toMore(page);
  const rows = Array.from({ length: 40 }, (_, at) => `T${at},2,3`);
  await page
    .locator("[data-race=flock]")
    .setInputFiles(
      list(
        "flock.csv",
        ["tag,litter,condition", ...rows, "B1,nine,3"].join("\n"),
      ),
    );
  await page.getByRole("button", { name: "Bring them in" }).click();
  await expect(page.getByText("40 ewes read.")).toBeVisible();
  await expect(page.locator(".race-faults").first()).toContainText("Row 42");
  await expect(page.getByText("40 ewes on record not seen")).toBeVisible();
  await page.getByRole("button", { name: "Back to the gate" }).click();
  await page.getByRole("button", { name: /^Undo: / }).click();
  await toMore(page);
  await expect(page.getByText("40 ewes on record not seen")).toHaveCount(0);
});

test("afterwards the flock that was entered is settled by the sort, in one tap", async ({
  page,
}) => {
  await openRace(page);
  await beginWithPens(page, true);
  await toMore(page);
  await page
    .getByRole("button", { name: "Settle the sort with these ewes" })
    .click();
  await expect(page.locator(".result h1")).toBeVisible({ timeout: 30_000 });
  await expect(page.locator(".pen")).toHaveCount(7);
});

test("sound and vibration confirm, and can be turned off", async ({ page }) => {
  await page.addInitScript(() => {
    const felt: unknown[] = [];
    Object.assign(window, { felt });
    navigator.vibrate = (pattern) => {
      felt.push(pattern);
      return true;
    };
  });
  const felt = () =>
    page.evaluate(() => (window as unknown as { felt: unknown[] }).felt.length);
  await openRace(page);
  await beginBare(page);
  await enterEwe(page, eid(41), 2, 3);
  expect(await felt()).toBe(1);
  await toMore(page);
  await page.getByRole("button", { name: "Sound" }).click();
  await page.getByRole("button", { name: "Back to the gate" }).click();
  await enterEwe(page, eid(42), 2, 3);
  expect(await felt()).toBe(1);
});

test("a scanning session of sixty ewes by reader and touch, with misreads and undo", async ({
  page,
}) => {
  test.setTimeout(240_000);
  await openRace(page);
  await beginWithPens(page);
  const ewes = Number(process.env.EVENFOLD_EWES ?? 60);
  const meant = new Map<string, [number, number]>();
  for (let at = 0; at < ewes; at++) {
    const [carries, score] = [
      [2, 1, 3, 2, 0][at % 5] ?? 2,
      [3, 2.5, 3.5, 2][at % 4] ?? 3,
    ];
    const tag = eid(1000 + at);
    if (at % 11 === 5) {
      await wedge(page, tag.slice(0, 13));
      await expect(page.getByRole("alert")).toBeVisible();
    }
    await enterEwe(page, tag, carries, score);
    meant.set(tag, [carries, score]);
    if (at % 13 === 7) {
      // Entered wrongly: back, and again.
      await page.getByRole("button", { name: /^Undo: / }).click();
      await expect(page.locator(".race-pen.done")).toHaveCount(0);
      await enterEwe(page, tag, carries, 4);
      meant.set(tag, [carries, 4]);
    }
    if (at === 30) {
      await page.reload();
      await expect(page.locator(".race-gate")).toBeVisible({ timeout: 30_000 });
      await expect(page.getByText(/^Resumed: 31 ewes today/)).toBeVisible();
    }
  }
  await expect(page.locator(".race-run")).toContainText(`${ewes} ewes today`);
  await toMore(page);
  const file = await backup(page);
  const events = file
    .trim()
    .split("\n")
    .slice(1)
    .map(
      (line) =>
        JSON.parse(line) as {
          id: string;
          what: {
            kind: string;
            ewe?: { eid?: string };
            lambs?: number;
            score?: number;
            events?: string[];
          };
        },
    );
  const undone = new Set(events.flatMap(({ what }) => what.events ?? []));
  const got = new Map<string, [number, number]>();
  for (const { id, what } of events) {
    const tag = what.ewe?.eid;
    if (undone.has(id) || tag === undefined) continue;
    const [carries, score] = got.get(tag) ?? [NaN, NaN];
    got.set(tag, [what.lambs ?? carries, what.score ?? score]);
  }
  expect(got).toEqual(meant);
});

const SIZES = [
  [768, 1024],
  [1024, 768],
] as const;

/** States of the screen, each from a fresh store. */
const STATES: Record<string, (page: Page) => Promise<void>> = {
  "nothing stored": openRace,
  empty: async (page) => {
    await openRace(page);
    await beginWithPens(page);
  },
  told: async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await wedge(page, eid(51));
    await lambs(page, 3);
    await condition(page, 2.5);
    await expect(page.locator(".race-to b")).toBeVisible();
  },
  given: async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await enterEwe(page, eid(52), 2, 3);
  },
  asked: async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await enterEwe(page, eid(53), 2, 3);
    await wedge(page, eid(53));
    await expect(page.locator(".race-ask")).toBeVisible();
  },
  refused: async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await wedge(page, "82607243450009");
    await expect(page.getByRole("alert")).toBeVisible();
  },
  "lists and backup": async (page) => {
    await openRace(page);
    await beginWithPens(page, true);
    await toMore(page);
  },
  "last acts": async (page) => {
    await openRace(page);
    await beginWithPens(page);
    await enterEwe(page, eid(54), 2, 3);
    await page.getByRole("button", { name: "Last acts" }).click();
  },
};

for (const [name, reach] of Object.entries(STATES)) {
  test(`the race, ${name}: axe finds nothing, by day and by night`, async ({
    page,
  }) => {
    await reach(page);
    for (const colorScheme of ["light", "dark"] as const) {
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      const { violations } = await new AxeBuilder({ page })
        .withTags(["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"])
        .analyze();
      expect(
        violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)]),
      ).toEqual([]);
    }
  });
}

for (const [width, height] of SIZES) {
  test(`at ${width} by ${height} nothing scrolls and every target is large enough`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height });
    for (const state of ["empty", "told", "given"]) {
      await page.context().clearCookies();
      await fresh(page);
      await STATES[state]?.(page);
      const found = await page.evaluate(() => {
        const root = document.scrollingElement ?? document.documentElement;
        const boxes = [
          ...document.querySelectorAll<HTMLElement>(
            "main button, main input, main select",
          ),
        ].map((element) => {
          const { width, height, left, top, right, bottom } =
            element.getBoundingClientRect();
          const race = element.matches(
            ".race-lambs button, .race-condition button, .go",
          );
          return {
            words: element.textContent ?? "",
            race,
            width,
            height,
            left,
            top,
            right,
            bottom,
          };
        });
        return {
          scrolls: [
            root.scrollWidth > innerWidth,
            root.scrollHeight > innerHeight,
          ],
          boxes,
          inner: [innerWidth, innerHeight] as const,
        };
      });
      expect(found.scrolls, state).toEqual([false, false]);
      for (const box of found.boxes) {
        expect(
          box.height,
          `${state}: ${box.words} high`,
        ).toBeGreaterThanOrEqual(box.race ? 118 : 63.9);
        expect(box.width, `${state}: ${box.words} wide`).toBeGreaterThanOrEqual(
          box.race ? 118 : 63.9,
        );
        expect(box.right, box.words).toBeLessThanOrEqual(found.inner[0]);
        expect(box.bottom, box.words).toBeLessThanOrEqual(found.inner[1]);
      }
      expect(overlaps(found.boxes), state).toEqual([]);
    }
  });
}

test("from the first screen to the race and back", async ({ page }) => {
  await openStart(page);
  await page.getByRole("button", { name: "At the race" }).click();
  await expect(page.locator("main.race")).toBeVisible();
  expect(new URL(page.url()).hash).toBe("#race");
  await page.getByRole("button", { name: "Leave" }).click();
  await expect(page.locator("main.start")).toBeVisible();
});

test("a number field takes no number by wheel or spinner", async ({ page }) => {
  await openRace(page);
  await beginBare(page);
  await expect(page.locator("input[type=number]")).toHaveCount(0);
  await toMore(page);
  await expect(page.locator("input[type=number]")).toHaveCount(0);
});

test("identifiers come out of the backup as they went in", async ({ page }) => {
  await openRace(page);
  await beginBare(page);
  const tags = ["0012", "826072434500099", "A-007"];
  for (const tag of tags) {
    await page.locator("#race-tag").fill(tag);
    await page.keyboard.press("Enter");
    await lambs(page, 2);
    await condition(page, 3);
    await go(page);
    await expect(page.locator(".race-pen.done")).toContainText(tag);
  }
  await toMore(page);
  const file = await backup(page);
  for (const tag of tags) expect(file).toContain(`"${tag}"`);
  expect(readFileSync(example("pens.csv"), "utf8")).not.toBe("");
});

/** Empties the store. */
async function fresh(page: Page): Promise<void> {
  await page.goto("about:blank");
  await openStart(page);
  await page.evaluate(
    () =>
      new Promise<void>((resolve) => {
        const gone = indexedDB.deleteDatabase("evenfold-journal");
        gone.onsuccess = gone.onerror = gone.onblocked = () => resolve();
      }),
  );
  await page.goto("about:blank");
}

/** Targets that lie on one another. */
function overlaps(
  boxes: {
    words: string;
    left: number;
    top: number;
    right: number;
    bottom: number;
  }[],
): string[] {
  return boxes.flatMap((one, at) =>
    boxes
      .slice(at + 1)
      .filter(
        (other) =>
          one.left < other.right - 1 &&
          other.left < one.right - 1 &&
          one.top < other.bottom - 1 &&
          other.top < one.bottom - 1,
      )
      .map((other) => `${one.words} / ${other.words}`),
  );
}
