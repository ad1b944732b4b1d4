/** The race: one screen, one ewe. */
import { useEffect } from "preact/hooks";
import { Ask } from "../part/race/ask";
import { Bar } from "../part/race/bar";
import { Fields } from "../part/race/fields";
import { Gate } from "../part/race/gate";
import { Identity } from "../part/race/identity";
import { Notices } from "../part/race/notices";
import { Pens } from "../part/race/pens";
import { Acts } from "./race-acts";
import { More } from "./race-more";
import { blocked, canEnter, phase, view } from "../store/journal/journal";
import { stayAwake } from "../store/journal/awake";
import { watchCable } from "../store/journal/cable";
import { key } from "../store/journal/keypad";
import { openRace, part, read } from "../store/journal/race";
import { listen } from "../store/journal/wedge";
import { en } from "../text/en";

/** The room. */
export function Race() {
  useEffect(stayAwake, []);
  useEffect(() => {
    void openRace();
    const take = (text: string) => {
      part.value = "gate";
      void read(text);
    };
    const unplug = watchCable(take);
    const deafen = listen({
      read: take,
      key: (pressed) => part.value === "gate" && canEnter.value && key(pressed),
    });
    return () => {
      deafen();
      unplug();
    };
  }, []);
  const shown = view.value;
  return (
    <main id="content" class={`race at-${part.value}`} tabIndex={-1}>
      <h1 class="unseen">{en.race.title}</h1>
      <Bar />
      <Notices />
      {!shown && <Opening />}
      {shown && part.value === "gate" && (shown.is_empty ? <More first /> : <AtTheGate />)}
      {shown && part.value === "acts" && <Acts view={shown} />}
      {shown && part.value === "more" && <More first={shown.is_empty} />}
    </main>
  );
}

function Opening() {
  return (
    <section class="race-wait">
      <p role="status">{blocked.value ? en.race.blocked : phase.value === "failed" ? "" : en.race.opening}</p>
    </section>
  );
}

function AtTheGate() {
  return (
    <div class="race-gate">
      <Identity />
      <Fields />
      <div class="race-side">
        <Gate />
        <Pens />
        <Ask />
      </div>
    </div>
  );
}
