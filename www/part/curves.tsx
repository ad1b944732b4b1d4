/** Need by day: a picture, its words, and the condition that is drawn. */
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { CurveLine, NeedAnswer, NeedCurves } from "../engine/types";
import { en } from "../text/en";
import { Choice } from "./choice";
import { draw } from "./draw";
import { watchWidth } from "./width";

/** The curves of litters one to three; hers is drawn strong, with what she can eat. */
export function Curves({ answer, curves, score }: { answer: NeedAnswer; curves: NeedCurves; score: number }) {
  const [chosen, choose] = useState<number | null>(null);
  const place = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  const conditions = [...new Set(curves.lines.map(({ condition }) => condition))].sort((a, b) => b - a);
  const near = conditions.reduce(
    (best, one) => (Math.abs(one - score) < Math.abs(best - score) ? one : best),
    5,
  );
  const [best = near] = conditions;
  const shown = chosen !== null && conditions.includes(chosen) ? chosen : Number.isNaN(score) ? best : near;
  const lines = curves.lines.filter(({ condition }) => condition === shown);
  const { litter, days_to_lambing: days } = answer.inputs;
  const own = lines.find((line) => line.litter === litter);
  const first = lines[0]?.points[0]?.days_to_lambing ?? 0;
  const asked = days !== null && days <= first ? { days, energy: answer.me_mj_per_day } : null;

  useLayoutEffect(() => {
    const box = place.current;
    return box ? watchWidth(box, setWidth) : undefined;
  }, []);
  useLayoutEffect(() => {
    if (width === 0) return;
    const named = (line: CurveLine) => en.need.litters[line.litter] ?? line.name;
    place.current?.replaceChildren(
      draw({ curves, lines, own, asked, named, short: en.need.short, eats: en.need.canEat, width }),
    );
  }, [answer, curves, shown, width]);

  return (
    <figure class="curve" aria-labelledby="curve-title">
      <h2 id="curve-title">{curves.title}</h2>
      <svg class="unseen" width="0" height="0" aria-hidden="true">
        <pattern
          id="short-hatch"
          width="9"
          height="9"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <path class="hatch" d="M0,0V9" />
        </pattern>
      </svg>
      <div ref={place} class="drawn" />
      {conditions.length > 1 && (
        <Choice
          name="drawn"
          legend={en.need.shown}
          options={conditions.map((condition) => [condition, String(condition)] as const)}
          value={shown}
          change={choose}
        />
      )}
      <figcaption>
        <ul>
          {own && (
            <li class="own">
              <svg class="swatch" width="56" height="8" aria-hidden="true">
                <path d="M0,4H56" />
              </svg>
              {curves.can_eat_title}
            </li>
          )}
          {[...lines]
            .sort((a, b) => Number(b === own) - Number(a === own))
            .map((line) => (
              <li key={line.name} class={line === own ? "own" : "quiet"}>
                {line.words}
              </li>
            ))}
          {!own && <li class="quiet">{en.need.noCurve}</li>}
          {asked && answer.condition && <li class="quiet">{en.need.asks(first)}</li>}
        </ul>
      </figcaption>
    </figure>
  );
}
