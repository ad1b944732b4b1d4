/** What a tour asks of a browser, whichever it is and however it is driven. */
import { expect } from "../../../www/harness.ts";

/** What is looked for: a selector, what it is called or says, and which of several. */
export interface Find {
  css: string;
  named?: string;
  at?: number;
}

/** One window of a browser. */
export interface Tab {
  go(url: string): Promise<void>;
  /** What an expression comes to in the page, once it is settled; it must be something that JSON can carry. */
  value<T>(expression: string): Promise<T>;
  /** Presses what an expression finds, with the browser's own pointer. */
  press(expression: string): Promise<void>;
  /** Gives files to the field that an expression finds, as the browser's own dialog would. */
  give(expression: string, files: readonly string[]): Promise<void>;
  /** The window as a picture, in PNG. */
  picture(): Promise<Buffer>;
  /** What is printed, in PDF. */
  paper(): Promise<Buffer>;
  close(): Promise<void>;
}

/** A running browser on a profile. */
export interface Browser {
  /** Errors in any of its pages, as the browser told them. */
  readonly faults: string[];
  /** A further window. */
  tab(): Promise<Tab>;
  /** Ends it; the profile stays. */
  end(): Promise<void>;
}

/** Starts it on a profile, which is made where there is none; what it saves goes to a folder. */
export type Start = (profile: string, saved: string) => Promise<Browser>;

/** A function of the page's, called there. */
export const call = <Given extends unknown[]>(
  work: (...given: Given) => unknown,
  ...given: Given
): string =>
  `(${work.toString()})(${given.map((one) => JSON.stringify(one)).join(", ")})`;

/** In the page: what is found in sight. */
function seek({ css, named, at = 0 }: Find): Element | null {
  const wanted = named === undefined ? null : new RegExp(named);
  const says = (element: Element, sought: RegExp) =>
    [element.getAttribute("aria-label") ?? "", element.textContent].some(
      (text) => sought.test(text.replace(/\s+/g, " ").trim()),
    );
  const all = Array.from(document.querySelectorAll(css)).filter(
    (element) =>
      element.getClientRects().length > 0 && (!wanted || says(element, wanted)),
  );
  return all[at] ?? null;
}

/** Waits until something is so, for as long as a slow machine may take. */
export function until(
  words: string,
  isSo: () => Promise<boolean>,
): Promise<void> {
  return expect.poll(isSo, { message: words, timeout: 60_000 }).toBe(true);
}

/** Waits until it is in sight. */
export const see = (tab: Tab, css: string, named?: string): Promise<void> =>
  until(`${css} ${named ?? ""}`, () => isThere(tab, css, named));

/** Whether it is in sight. */
export const isThere = (
  tab: Tab,
  css: string,
  named?: string,
): Promise<boolean> =>
  tab.value(
    `${call(seek, { css, ...(named === undefined ? {} : { named }) })} !== null`,
  );

/** Waits until it can be pressed, and presses it. */
export async function press(
  tab: Tab,
  css: string,
  named?: string,
  at = 0,
): Promise<void> {
  const found = call(seek, {
    css,
    at,
    ...(named === undefined ? {} : { named }),
  });
  await until(`${css} ${named ?? ""} to be pressed`, () =>
    tab.value(`((it) => it !== null && !it.disabled)(${found})`),
  );
  await tab.press(found);
}

/** Gives files to a field, which need not be in sight. */
export const give = (
  tab: Tab,
  css: string,
  ...files: string[]
): Promise<void> =>
  tab.give(`document.querySelector(${JSON.stringify(css)})`, files);

/**
 * A tag reader sends. The keys are made in the page, since drivers send them with gaps as long as the machine is busy,
 * and a reader has none.
 */
export const read = (tab: Tab, text: string): Promise<unknown> =>
  tab.value(
    call((sent) => {
      const at = document.activeElement ?? document.body;
      for (const key of [...Array.from(sent), "Enter"])
        at.dispatchEvent(
          new KeyboardEvent("keydown", {
            key,
            bubbles: true,
            cancelable: true,
          }),
        );
    }, text),
  );

/** The words of the first that is found. */
export const words = (tab: Tab, css: string): Promise<string> =>
  tab.value(
    `(document.querySelector(${JSON.stringify(css)})?.textContent ?? "").replace(/\\s+/g, " ").trim()`,
  );
