/** What is wrong or worth knowing in the lists, the worst first. */
import type { Problem, Severity } from "../engine/types";
import { en } from "../text/en";

const ORDER: readonly Severity[] = ["error", "warning", "note"];

/** All of them, grouped. */
export function Problems({ problems }: { problems: readonly Problem[] }) {
  if (problems.length === 0) return <p>{en.faults.none}</p>;
  return (
    <>
      {ORDER.map((severity) => {
        const group = problems.filter((problem) => problem.severity === severity);
        if (group.length === 0) return null;
        return (
          <section key={severity} class={`faults ${severity}`}>
            <h3>
              <Sign severity={severity} />
              {en.faults.groups[severity]} <span class="figure">({group.length})</span>
            </h3>
            <ul>
              {group.map((problem, index) => (
                <One key={index} problem={problem} />
              ))}
            </ul>
          </section>
        );
      })}
    </>
  );
}

function One({ problem }: { problem: Problem }) {
  const { file, row, column, found, subject, tag, message, hint } = problem;
  const place = [file === undefined ? undefined : (en.faults.files[file] ?? file), column, tag];
  return (
    <li>
      <p class="where">
        {row === undefined ? (
          <b>{subject}</b>
        ) : (
          <>
            <b class="figure">
              {en.faults.row} {row}
            </b>
            <span>{place.filter(Boolean).join(", ")}</span>
          </>
        )}
      </p>
      {found !== undefined && (
        <p class="found">
          <span class="unseen">{en.faults.found}: </span>
          <code>{found || en.faults.empty}</code>
        </p>
      )}
      <p class="message">
        {message} <span class="hint">{hint}</span>
      </p>
    </li>
  );
}

/** A sign for how much it matters: its shape says it too. */
export function Sign({ severity }: { severity: Severity }) {
  const shape = { error: "M-9,-9L9,9M9,-9L-9,9", warning: "M0,-10V4M0,8V11", note: "M-8,0H8" }[severity];
  return (
    <svg class="sign" width="28" height="28" viewBox="-14 -14 28 28" aria-hidden="true">
      <path d={shape} />
    </svg>
  );
}
