/** The first screen: your lists, or the demo flock. */
import { useEffect, useState } from "preact/hooks";
import { Slots } from "../part/slots";
import { meant, When, written, type Written } from "../part/when";
import { openRoom } from "../store/back";
import { files, unplaced } from "../store/files";
import { begin, busy, openDemo, ready, set, settings, sortOwn } from "../store/sort";
import { en } from "../text/en";

/** Two ways at once. */
export function Start() {
  const known = settings.value;
  const [fields, setFields] = useState<Written | null>(null);
  const [fault, setFault] = useState<"date" | "period" | "">("");
  const [missing, setMissing] = useState("");
  useEffect(() => {
    if (known && !fields) setFields(written(known));
  }, [known, fields]);
  useEffect(() => {
    if (ready.value) setMissing("");
  }, [files.flock.value, files.pens.value, unplaced.value]);

  const go = (event: Event) => {
    event.preventDefault();
    if (!fields) return;
    if (!ready.value) {
      setMissing(unplaced.value.length > 0 ? en.start.waiting : en.start.missing);
      return;
    }
    const read = meant(fields);
    if (typeof read === "string") {
      setFault(read);
      return;
    }
    setFault("");
    const rest = { ...settings.value };
    delete rest.period_days;
    settings.value = read.period === undefined ? rest : { ...rest, period_days: read.period };
    set({ on: read.on, system: fields.system });
    void sortOwn();
  };

  return (
    <main id="content" class="start" tabIndex={-1}>
      <header class="lead">
        <h1>{en.start.title}</h1>
        <p>{en.purpose}</p>
        <div class="try">
          <p>{en.demo.lead}</p>
          <button type="button" class="plain" disabled={busy.value !== ""} onClick={() => void openDemo()}>
            {en.demo.button}
          </button>
        </div>
        <div class="try">
          <p>{en.need.lead}</p>
          <button type="button" class="plain" id="to-need" onClick={() => openRoom("need")}>
            {en.need.title}
          </button>
        </div>
        <div class="try">
          <p>{en.ration.lead}</p>
          <button type="button" class="plain" id="to-ration" onClick={() => openRoom("ration")}>
            {en.ration.title}
          </button>
        </div>
        <div class="try">
          <p>{en.race.lead}</p>
          <button type="button" class="plain" id="to-race" onClick={() => openRoom("race")}>
            {en.race.title}
          </button>
        </div>
      </header>
      <form onSubmit={go} noValidate>
        <section aria-labelledby="lists">
          <h2 id="lists">{en.start.files}</h2>
          <Slots />
        </section>
        <section aria-labelledby="when">
          <h2 id="when">{en.start.when}</h2>
          {fields && (
            <When
              fields={fields}
              fault={fault}
              change={(to) => setFields((now) => now && { ...now, ...to })}
            />
          )}
          {!fields && busy.value === "" && (
            <p class="go">
              <button type="button" class="plain" onClick={() => void begin()}>
                {en.again}
              </button>
            </p>
          )}
          <p class="go">
            <button type="submit" class="main" disabled={busy.value !== "" || !fields}>
              {en.start.go}
            </button>
          </p>
          <p class="fault" role="alert">
            {missing}
          </p>
        </section>
      </form>
    </main>
  );
}
