/** The day of the feeding period: a slider between two buttons. */
import { day } from "../store/screen";
import { en } from "../text/en";

/** Moves the picture through the days. */
export function DaySlider({ days }: { days: readonly string[] }) {
  const last = days.length - 1;
  const words = days[day.value] ?? "";
  if (last < 1) return null;
  const go = (to: number) => {
    day.value = Math.min(Math.max(to, 0), last);
  };
  return (
    <div class="days" role="group" aria-label={en.day.title}>
      <button type="button" class="plain" disabled={day.value === 0} onClick={() => go(day.value - 1)}>
        <Arrow turn={180} />
        <span class="unseen">{en.day.previous}</span>
      </button>
      <output class="figure">{words}</output>
      <input
        type="range"
        min={0}
        max={last}
        step={1}
        value={day.value}
        aria-label={en.day.title}
        aria-valuetext={words}
        onInput={(event) => go(Number(event.currentTarget.value))}
      />
      <button type="button" class="plain" disabled={day.value === last} onClick={() => go(day.value + 1)}>
        <Arrow turn={0} />
        <span class="unseen">{en.day.next}</span>
      </button>
    </div>
  );
}

/** An arrow, turned clockwise from pointing right. */
export function Arrow({ turn }: { turn: number }) {
  return (
    <svg class="arrow" width="28" height="28" viewBox="-14 -14 28 28" aria-hidden="true">
      <path d="M-9,0H9M1,-8L9,0L1,8" transform={`rotate(${turn})`} />
    </svg>
  );
}
