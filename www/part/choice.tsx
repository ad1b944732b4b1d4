/** One of a few, by buttons. */

/** Words by name, as options in their order. */
export const pairs = <K extends string>(of: Record<K, string>) => Object.entries(of) as [K, string][];

/** The choice; `notes` stand under their words. */
export function Choice<T extends string | number>(props: {
  name: string;
  legend: string;
  options: readonly (readonly [T, string])[];
  value: T;
  change: (to: T) => void;
  kind?: string;
  notes?: (of: T) => string;
}) {
  const { name, legend, options, value, change, kind = "", notes } = props;
  return (
    <fieldset class={`choice ${kind}`}>
      <legend>{legend}</legend>
      {options.map(([option, words]) => (
        <label key={option}>
          <input
            type="radio"
            name={name}
            value={option}
            checked={value === option}
            {...(notes ? named(`${name}-${option}`, kind === "lambs") : {})}
            onChange={() => change(option)}
          />
          <span>
            <span>
              <b id={`${name}-${option}`}>{words}</b>
              {notes && (
                <small class="quiet" id={`${name}-${option}-note`}>
                  {notes(option)}
                </small>
              )}
            </span>
          </span>
        </label>
      ))}
    </fieldset>
  );
}

/** A note that is short belongs to the name itself; a long one describes. */
function named(id: string, short: boolean) {
  return short
    ? { "aria-labelledby": `${id} ${id}-note` }
    : { "aria-labelledby": id, "aria-describedby": `${id}-note` };
}
