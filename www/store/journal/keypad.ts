/** The race by a keypad alone: tag, Enter, lambs, condition as digits, Enter. */
import { asks } from "./question";
import { card, enter, gate, read, takeNumber, typed, undoLast, write } from "./race";

/** Handles one key; whether it meant anything. */
export function key(pressed: string): boolean {
  const question = asks.value;
  if (question) {
    if (pressed === "Enter") question.done(true);
    else if (pressed === "Escape" || pressed === "0") question.done(false);
    else return false;
    return true;
  }
  switch (pressed) {
    case "Enter":
      return confirm();
    case "Escape":
    case "Backspace":
      typed.value = pressed === "Escape" ? "" : typed.value.slice(0, -1);
      return true;
    case "-":
      void undoLast();
      return true;
    case "*":
      void takeNumber();
      return true;
    case "+":
      if (gate.value?.kind === "pen" && gate.value.runner_up) void enter(gate.value.runner_up.pen);
      return true;
  }
  if (card.value.name === null) {
    if (!/^[\p{L}\p{N}./ ]$/u.test(pressed)) return false;
    typed.value += pressed;
    return true;
  }
  if (card.value.lambs === null && typed.value === "") {
    if (!/^[0-5]$/.test(pressed)) return false;
    write({ lambs: Number(pressed) });
    return true;
  }
  if (!/^[0-9.,]$/.test(pressed)) return false;
  typed.value += pressed;
  const score = scoreOf(typed.value);
  if (score !== null) write({ score });
  return true;
}

function confirm(): boolean {
  if (card.value.name === null && typed.value !== "") {
    const text = typed.value;
    typed.value = "";
    void read(text);
    return true;
  }
  typed.value = "";
  void enter();
  return true;
}

/** A score as it is keyed: 3, 2.5, 25, 275. Whether it is one at all the engine says. */
function scoreOf(text: string): number | null {
  const digits = text.replace(/[.,]/g, "");
  if (digits === "") return null;
  const score = Number(`${digits[0] ?? ""}.${digits.slice(1)}`);
  return score >= 1 && score <= 5 && Number.isInteger(score * 4) ? score : null;
}
