/** What is written of her, part by part. */
import { computed } from "@preact/signals";
import { card } from "./race";

/** The parts of the card, so that a tap draws anew only what it changes. */
export const parts = {
  name: computed(() => card.value.name),
  lambs: computed(() => card.value.lambs),
  score: computed(() => card.value.score),
  age: computed(() => card.value.age),
  group: computed(() => card.value.group),
  marks: computed(() => card.value.marks),
  note: computed(() => card.value.note),
};
