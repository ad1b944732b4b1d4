/** How a figure was worked out, line by line, with its sources. */
import type { WorkingLine } from "../engine/types";
import { en } from "../text/en";

/** The lines, set in by their depth. */
export function Working({ lines }: { lines: readonly WorkingLine[] }) {
  return (
    <ol class="working">
      {lines.map((line, index) => (
        <li key={index} class={`deep-${Math.min(line.depth, 4)}`}>
          <p class="sum">
            <span>{line.name}</span> <b class="figure">{line.result}</b>
          </p>
          <dl>
            <Part name={en.ewe.formula} words={line.formula} kind="formula" />
            <Part name={en.ewe.values} words={line.values} kind="formula" />
            <Part name={en.ewe.source} words={line.source} kind="source" />
          </dl>
        </li>
      ))}
    </ol>
  );
}

function Part({ name, words, kind }: { name: string; words: string; kind: string }) {
  if (!words) return null;
  return (
    <div class={kind}>
      <dt>{name}</dt>
      <dd>{words}</dd>
    </div>
  );
}
