/** What is on screen, and where the focus goes. */
import { batch, signal } from "@preact/signals";
import type { EweView } from "../engine/types";

/** The rooms beside the sort; the address names them. */
export const ROOMS = ["need", "regroup", "card", "count", "plan", "race"] as const;

/** A room. */
export type Room = (typeof ROOMS)[number];

/** The screens: two of the sort, and the rooms. */
export const screen = signal<"start" | "result" | Room>("start");

/** Whether a screen is a room. */
export function isRoom(of: string): of is Room {
  return (ROOMS as readonly string[]).includes(of);
}

/** The parts of a result. */
export type Tab = "pens" | "look" | "faults" | "out";

/** The part of the result on screen. */
export const tab = signal<Tab>("pens");

/** The day of the feeding period on screen, from 0. */
export const day = signal(0);

/** The ewe whose sheet is open. */
export const ewe = signal<EweView | null>(null);

/** What a screen reader is to say. */
export const spoken = signal("");

/** Day, night, or as the device has it. */
export const scheme = signal<"day" | "night" | null>(null);

let opener: { element: Element | null; tag: string } = { element: null, tag: "" };

/** Opens a ewe's sheet; where it came from gets the focus back. */
export function showEwe(found: EweView): void {
  if (!ewe.value) opener = { element: document.activeElement, tag: found.tag };
  opener.tag = found.tag;
  ewe.value = found;
}

/** Closes the sheet. */
export function closeEwe(): void {
  ewe.value = null;
}

/** Gives the focus back to where the sheet was opened from, once that is on screen again. */
export function focusOpener(): void {
  const mark = document.querySelector(`.mark[data-tag="${CSS.escape(opener.tag)}"]`);
  const back = opener.element?.isConnected && opener.element !== document.body ? opener.element : mark;
  if (back instanceof HTMLElement || back instanceof SVGElement) back.focus();
}

/** Goes to a part of the result. */
export function goTo(to: Tab): void {
  batch(() => {
    closeEwe();
    tab.value = to;
  });
}

/** Says words to a screen reader. */
export function say(words: string): void {
  spoken.value = words;
}

/** Switches between day and night. */
export function switchScheme(): void {
  scheme.value = isNight() ? "day" : "night";
  document.documentElement.dataset.scheme = scheme.value;
}

/** Whether the night scheme is on. */
export function isNight(): boolean {
  return scheme.value ? scheme.value === "night" : matchMedia("(prefers-color-scheme: dark)").matches;
}
