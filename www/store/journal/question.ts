/** A question that stands at the gate until it is answered. */
import { signal } from "@preact/signals";
import { say } from "../screen";
import { tell } from "./signal";

/** What is asked before it is entered, and who answers yes. */
export const asks = signal<{
  words: string[];
  yes: string;
  no: string;
  done: (sure: boolean) => void;
} | null>(null);

/** Asks it; the answer is handed on. */
export function ask(words: string[], yes: string, no: string, done: (is: boolean) => void): void {
  tell("asked");
  say(words.join(" "));
  asks.value = {
    words,
    yes,
    no,
    done: (is) => {
      asks.value = null;
      done(is);
    },
  };
}
