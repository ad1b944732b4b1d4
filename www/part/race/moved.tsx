/** The moves, each to be ticked off, and entering those that were made. */
import { useEffect, useState } from "preact/hooks";
import type { MoveView } from "../../engine/types";
import { canEnter } from "../../store/journal/journal";
import { entered, enterMoves, undoMoves } from "../../store/journal/moved";
import { en } from "../../text/en";

const words = en.race.moved;

/** The list. */
export function MovesMade({ moves }: { moves: readonly MoveView[] }) {
  const [left, setLeft] = useState<ReadonlySet<number>>(new Set());
  useEffect(() => {
    setLeft(new Set());
    entered.value = null;
  }, [moves]);
  const made = moves.filter((_, at) => !left.has(at));
  const tick = (at: number) => {
    const next = new Set(left);
    if (!next.delete(at)) next.add(at);
    setLeft(next);
  };
  const done = entered.value;
  return (
    <>
      {moves.length > 0 && <p class="quiet">{words.help}</p>}
      <ol class="moves-made">
        {moves.map((move, at) => (
          <li key={at}>
            <label>
              <input type="checkbox" checked={!left.has(at)} onChange={() => tick(at)} />
              <span>{move.words}</span>
            </label>
          </li>
        ))}
      </ol>
      {moves.length > 0 && (
        <p class="acts">
          <button
            type="button"
            class="main"
            disabled={!canEnter.value || made.length === 0}
            onClick={() => void enterMoves(made)}
          >
            {words.enter(made.length)}
          </button>
          {done?.act && (
            <button type="button" class="plain" disabled={!canEnter.value} onClick={() => void undoMoves()}>
              {words.undo}
            </button>
          )}
        </p>
      )}
      {!canEnter.value && <p class="quiet">{words.shut}</p>}
      <div role="status">
        {done && (
          <>
            <p>{done.words}</p>
            <ul class="said">
              {done.problems.map((problem) => (
                <li key={`${problem.code}${problem.tag ?? ""}`}>
                  {problem.message} {problem.hint}
                </li>
              ))}
            </ul>
          </>
        )}
      </div>
    </>
  );
}
