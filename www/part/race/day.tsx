/** A day as three fields that never jump; it counts once all three are figures. */
import { useEffect, useRef, useState } from "preact/hooks";
import { en } from "../../text/en";

/** The day. */
export function Day({
  words,
  value,
  change,
}: {
  words: string;
  value: string;
  change: (to: string) => void;
}) {
  const [fields, setFields] = useState(["", "", ""]);
  // What is written may be ahead of what is drawn, and a day that was sent may come back after the next is written.
  const written = useRef(fields);
  const sent = useRef(new Set<string>());
  const show = (next: string[]) => {
    written.current = next;
    setFields(next);
  };
  useEffect(() => {
    if (sent.current.delete(value)) return;
    sent.current.clear();
    const [year = "", month = "", day = ""] = value.split("-");
    show([day.replace(/^0/, ""), month.replace(/^0/, ""), year]);
  }, [value]);
  const write = (at: number, text: string) => {
    const next = written.current.map((old, place) => (place === at ? text : old));
    show(next);
    const [day = "", month = "", year = ""] = next;
    if (/^\d{1,2}$/.test(day) && /^\d{1,2}$/.test(month) && /^\d{4}$/.test(year)) {
      const iso = `${year}-${month.padStart(2, "0")}-${day.padStart(2, "0")}`;
      const at = new Date(iso);
      if (!Number.isNaN(at.getTime()) && at.toISOString().startsWith(iso)) {
        if (iso !== value) sent.current.add(iso);
        change(iso);
      }
    }
  };
  return (
    <fieldset class="race-day">
      <legend>{words}</legend>
      {[en.start.dayOfMonth, en.start.month, en.start.year].map((name, at) => (
        <label key={name}>
          <span class="unseen">{name}</span>
          <input
            type="text"
            inputmode="numeric"
            autocomplete="off"
            value={fields[at]}
            onInput={(event) => write(at, event.currentTarget.value)}
          />
        </label>
      ))}
    </fieldset>
  );
}
