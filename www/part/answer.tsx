/** What stands in a room where there is no answer: pens that cannot hold the flock, or something to put right. */
import type { ImpossibleView, Problem } from "../engine/types";
import { en } from "../text/en";
import { Problems } from "./problems";

/** The pens cannot hold the flock. */
export function CannotHold({ view }: { view: ImpossibleView }) {
  return (
    <section class="refused">
      <div role="alert">
        <h2>{view.headline}</h2>
      </div>
      <ul class="said">
        {[...view.limits, ...view.mends].map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <p class="caution">{view.caution}</p>
      <Problems problems={view.problems} />
    </section>
  );
}

/** Something must be put right first; `mend` says where. */
export function NotYet(props: { headline: string; problems: readonly Problem[]; mend: string }) {
  const { headline, problems, mend } = props;
  return (
    <section class="refused">
      <div role="alert">
        <h2>{headline}</h2>
      </div>
      <Problems problems={problems} />
      <p>{mend}</p>
    </section>
  );
}

/** Remarks that stand beside an answer, closed until somebody asks. */
export function Remarks({ problems }: { problems: readonly Problem[] }) {
  const worth = problems.filter(({ severity }) => severity !== "note");
  if (worth.length === 0) return null;
  return (
    <details class="remarks">
      <summary>
        {en.faults.title} <span class="count figure">{worth.length}</span>
      </summary>
      <Problems problems={worth} />
    </details>
  );
}
