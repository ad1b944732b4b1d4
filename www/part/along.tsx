/** Walking along the points of a curve: by buttons, by a slider, and straight to the best. */
import { Arrow } from "./day";

/** The controls; `said` is the chosen point in words. */
export function Along(props: {
  at: number;
  count: number;
  best: number;
  go: (to: number) => void;
  said: string;
  words: { pay: string; fewer: string; more: string; slide: string; best: string };
}) {
  const { at, count, best, go, said, words } = props;
  return (
    <div class="choose" role="group" aria-label={words.pay}>
      <output>{said}</output>
      <button type="button" class="plain" disabled={at <= 0} onClick={() => go(at - 1)}>
        <Arrow turn={180} />
        <span class="unseen">{words.fewer}</span>
      </button>
      <input
        type="range"
        min={0}
        max={Math.max(count - 1, 0)}
        step={1}
        value={at}
        aria-label={words.slide}
        aria-valuetext={said}
        onInput={(event) => go(Number(event.currentTarget.value))}
      />
      <button type="button" class="plain" disabled={at >= count - 1} onClick={() => go(at + 1)}>
        <Arrow turn={0} />
        <span class="unseen">{words.more}</span>
      </button>
      {best >= 0 && (
        <button type="button" class="plain best" disabled={best === at} onClick={() => go(best)}>
          {words.best}
        </button>
      )}
    </div>
  );
}
