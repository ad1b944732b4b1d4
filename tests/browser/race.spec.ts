/** The race: three taps a ewe, the pen at once, questions, undo. */
import { expect, test } from "./support.ts";
import {
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
  wedge,
} from "./race-support.ts";

test("a day that is written in one breath is the day that holds", async ({
  page,
}) => {
  await openRace(page);
  const due = page.getByRole("group", { name: "First lambs due" });
  const fields = ["Day", "Month", "Year"].map((name) => due.getByLabel(name));
  for (const day of ["28/3/2027", "9/4/2027", "28/2/2027"])
    await due.locator("input").evaluateAll((inputs, texts) => {
      for (const [at, input] of inputs.entries()) {
        (input as HTMLInputElement).value = texts[at] ?? "";
        input.dispatchEvent(new Event("input", { bubbles: true }));
      }
    }, day.split("/"));
  await beginWithPens(page);
  await page.getByRole("button", { name: "Lists and backup" }).click();
  for (const [at, text] of ["28", "2", "2027"].entries())
    await expect(fields[at] ?? page.locator("body")).toHaveValue(text);
  await page.reload();
  await wedge(page, eid(3));
  await lambs(page, 2);
  await condition(page, 3);
  await expect(page.locator(".race-pen")).toContainText("due 28 Feb");
});

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
      what: expect.objectContaining({ kind: "pen_given" }),
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
  // What a keyboard does, at a reader's pace: a key, then its sign in the field.
  await note.evaluate((field: HTMLInputElement) => {
    for (const key of [...Array.from("LA 826 072434500099"), "Enter"]) {
      const went = field.dispatchEvent(
        new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }),
      );
      if (!went || key === "Enter") continue;
      field.value += key;
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
  });
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
  await page.getByRole("button", { name: "Shearling", exact: true }).click();
  await page.locator(".race-group select").selectOption({ index: 1 });
  const group = await page.locator(".race-group select").inputValue();
  await lambs(page, 2);
  await condition(page, 3);
  await go(page);
  await expect(page.locator(".race-pen.done")).toBeVisible();
  await expect(
    page.getByRole("button", { name: "Shearling", exact: true }),
  ).toHaveAttribute("aria-pressed", "true");
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
