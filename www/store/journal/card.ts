/** The card of one ewe, as a thing. */
import type { AgeClass, Card } from "../../engine/types";

/** Nothing is written of anybody. */
export const EMPTY: Card = {
  name: null,
  read: null,
  lambs: null,
  score: null,
  age: null,
  group: null,
  marks: [],
  note: "",
  pen: null,
};

/** Whether anything is written of a ewe. */
export const isWrittenOn = ({ name, lambs, score, marks, note }: Card) =>
  name !== null || lambs !== null || score !== null || marks.length > 0 || note !== "";

/** What a card's ewe is called. */
export function nameOf(of: Pick<Card, "name">): string {
  if (!of.name) return "";
  return "eid" in of.name ? of.name.eid : of.name.tag;
}

/** Age classes, as the engine names them. */
export const AGES: readonly AgeClass[] = ["ewe_lamb", "shearling", "mature"];
