/** Lines that the engine says, under a head; nothing where there are none. */
import type { CautionEntry } from "../engine/types";
import { en } from "../text/en";

/** The lines. */
export function Said({ title, lines }: { title: string; lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <ul class="said">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </section>
  );
}

/** What may hurt a ewe, with where each comes from. */
export function Heed({ cautions }: { cautions: readonly CautionEntry[] }) {
  if (cautions.length === 0) return null;
  return (
    <section class="heed" aria-labelledby="heed-title">
      <h2 id="heed-title">{en.plan.cautions}</h2>
      <ul class="said">
        {cautions.map((caution) => (
          <li key={caution.words}>
            {caution.words} <span class="quiet">{caution.source}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}
