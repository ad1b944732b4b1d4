/** One tablet through the day: it enters ewes by touch and reader, keeps what was meant, and times what it is told. */
import { Fingers } from "./fingers.ts";
import { Own } from "./own.ts";
import { Chance, type Meant } from "./race-model.ts";
import { backup, openRace, toMore } from "./race-support.ts";
import { expect, type Page } from "./support.ts";

/** What is tapped for one ewe. */
export interface Taps {
  lambs: number;
  score: number;
  marks?: string[];
  note?: string;
  /** Against what is told: into the pen with the most room. */
  elsewhere?: boolean;
}

/** The words on the buttons of the marks, and their names in the file. */
const MARKS: Record<string, string> = {
  lame: "Lame",
  udder: "Udder",
  keep_apart: "Keep apart",
};

/** How long it took: from a tap until the pen was drawn, and from "Go" until "Saved" was. */
export interface Times {
  pen: number[];
  saved: number[];
}

/** A tablet with a journal of its own. */
export class Tablet {
  readonly meant = new Map<string, Meant>();
  readonly times: Times = { pen: [], saved: [] };
  /** The age that was last chosen, which stays. */
  private age = "";

  private constructor(
    private readonly profile: string,
    readonly chance: Chance,
    private own: Own,
    private fingers: Fingers,
  ) {}

  static async start(profile: string): Promise<Tablet> {
    const own = await Own.start(profile);
    await own.page.addInitScript(watch);
    const fingers = await Fingers.on(own.page);
    await openRace(own.page);
    return new Tablet(profile, new Chance(), own, fingers);
  }

  get page(): Page {
    return this.own.page;
  }

  press(name: string | RegExp): Promise<void> {
    return this.fingers.press(name);
  }

  read(tag: string): Promise<void> {
    return this.fingers.send(tag);
  }

  /** Killed and started anew. */
  async kill(): Promise<void> {
    await this.own.kill();
    this.own = await Own.start(this.profile);
    await this.page.addInitScript(watch);
    this.fingers = await Fingers.on(this.page);
    await openRace(this.page);
    await expect(this.page.locator(".race-gate")).toBeVisible();
  }

  /** Ended for good. */
  end(): Promise<void> {
    return this.own.kill();
  }

  async reload(): Promise<void> {
    await this.page.reload();
    await expect(this.page.locator(".race-gate")).toBeVisible({
      timeout: 30_000,
    });
  }

  /** The age class, which stays until it is changed. */
  async chooseAge(words: string, inFile: string): Promise<void> {
    await this.fingers.tap(
      this.page.locator(".race-stays").getByRole("button", { name: words }),
    );
    this.age = inFile;
  }

  /** All that is tapped before she is entered. */
  async write({ lambs, score, marks = [], note }: Taps): Promise<void> {
    const { page, fingers } = this;
    await fingers.tap(page.locator(".race-lambs button").nth(lambs));
    const half = Math.floor(score * 2) / 2;
    await fingers.tap(
      page.locator(".race-condition button").nth((half - 1) * 2),
    );
    if (score !== half) await this.press("+¼");
    for (const mark of marks) await this.press(MARKS[mark] ?? mark);
    if (note === undefined) return;
    await fingers.tap(page.getByRole("textbox", { name: "Note" }));
    await page.keyboard.insertText(note);
  }

  /** Enters a ewe whose tag is read; what is saved is what was meant. */
  async enter(tag: string, taps: Taps): Promise<void> {
    await this.read(tag);
    await expect(this.page.locator(".race-name")).toContainText(tag);
    await this.write(taps);
    await this.go(tag, taps);
  }

  /** Sends her off, and keeps what is then on record. */
  async go(tag: string, taps: Taps): Promise<void> {
    const { page, fingers } = this;
    if (taps.elsewhere) {
      await fingers.tap(page.locator(".race-pens button:not(.full)").last());
    } else {
      await fingers.tap(page.locator("button.go"));
    }
    await this.entered(tag, taps);
  }

  /** Waits for "Saved", and keeps what was saved. */
  async entered(tag: string, taps: Taps): Promise<void> {
    const done = this.page.locator(".race-pen.done");
    await expect(done).toContainText(tag);
    const to = (await done.locator(".race-to").textContent()) ?? "";
    const before = this.meant.get(tag);
    this.meant.set(tag, {
      lambs: taps.lambs,
      score: taps.score,
      age: this.age,
      pen: /^Pen (.+)$/.exec(to)?.[1] ?? before?.pen ?? null,
      marks: [...new Set([...(before?.marks ?? []), ...(taps.marks ?? [])])],
      notes: [
        ...(before?.notes ?? []),
        ...(taps.note === undefined ? [] : [taps.note]),
      ],
    });
  }

  /** The backup's text, and back at the gate. */
  async backup(): Promise<string> {
    await toMore(this.page);
    const file = await backup(this.page);
    await this.press("Back to the gate");
    return file;
  }

  /** Another tablet's file is taken in. */
  async take(file: string): Promise<void> {
    await this.page.locator("[data-race=backup]").setInputFiles({
      name: "other.jsonl",
      mimeType: "text/plain",
      buffer: Buffer.from(file),
    });
  }

  /** Takes over how long it took since it was asked last. */
  async gather(): Promise<void> {
    const times = await this.page.evaluate(() => {
      const kept = window as unknown as { times: Times };
      const now = kept.times;
      kept.times = { pen: [], saved: [] };
      return now;
    });
    this.times.pen.push(...times.pen);
    this.times.saved.push(...times.saved);
  }

  /** Memory of the page's process in MB, where the system tells it. */
  memory(): number {
    return this.own.memory();
  }
}

/** In the page: the time from a tap to the picture that answers it. */
function watch(): void {
  const times: Times = { pen: [], saved: [] };
  Object.assign(window, { times });
  let from: [keyof Times, number] | undefined;
  addEventListener(
    "click",
    ({ target, timeStamp }) => {
      const button = (target as Element).closest("button");
      if (button?.matches(".go")) from = ["saved", timeStamp];
      // A quarter more changes a pen that is told already.
      else if (
        button?.closest(".race-condition") &&
        !document.querySelector(".race-to")
      )
        from = ["pen", timeStamp];
    },
    { capture: true },
  );
  const look = () => {
    if (!from) return;
    const [into, start] = from;
    const there = into === "pen" ? ".race-pen .race-to" : ".race-pen.done";
    if (!document.querySelector(there)) return;
    from = undefined;
    requestAnimationFrame(() => {
      setTimeout(() =>
        (window as unknown as { times: Times }).times[into].push(
          performance.now() - start,
        ),
      );
    });
  };
  new MutationObserver(look).observe(document, {
    subtree: true,
    childList: true,
    characterData: true,
    attributes: true,
  });
}
