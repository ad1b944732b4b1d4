/** A sort on screen: its headline, and one of its parts. */
import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import type { SortView } from "../engine/types";
import { Find } from "../part/find";
import { Problems } from "../part/problems";
import { Proof } from "../part/proof";
import { picked, putDown } from "../store/hand";
import { proof } from "../store/proof";
import { closeEwe, ewe, focusOpener, goTo, tab, type Tab } from "../store/screen";
import { busy, sort } from "../store/sort";
import { en } from "../text/en";
import { EweSheet } from "./ewe";
import { Look } from "./look";
import { Out } from "./out";
import { Pens } from "./pens";

const TABS: readonly Tab[] = ["pens", "look", "faults", "out"];

/** The result. */
export function Result({ view }: { view: SortView }) {
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    // Where a sheet stands open, it has the focus.
    if (ewe.peek()) return;
    scrollTo(0, 0);
    title.current?.focus();
  }, []);
  useEffect(() => {
    const key = (event: KeyboardEvent) => {
      if (event.key !== "Escape") return;
      if (picked.value) putDown();
      else closeEwe();
    };
    addEventListener("keydown", key);
    return () => removeEventListener("keydown", key);
  }, []);
  const open = ewe.value;
  const wasOpen = useRef(false);
  useLayoutEffect(() => {
    if (wasOpen.current && !open) focusOpener();
    wasOpen.current = open !== null;
  }, [open]);
  const counts = {
    look: view.badly_fitting.length + view.to_check.length + view.set_apart.length + view.kept.length,
    faults: view.problems.filter(({ severity }) => severity !== "note").length,
  };
  return (
    <div class={open ? "with-sheet" : ""}>
      <main id="content" class="result" tabIndex={-1}>
        <header class="lead">
          <h1 ref={title} tabIndex={-1}>
            {view.headline}
          </h1>
          <p class="period">{view.period}</p>
          {view.by_hand && <ByHand words={view.by_hand} />}
          <details class="quality">
            <summary>{proof.value?.quality ?? view.quality}</summary>
            {view.can_prove && <Proof />}
            <p>{proof.value?.quality_note ?? view.quality_note}</p>
            <p>{view.basis}</p>
          </details>
          <p class="caution">{view.caution}</p>
        </header>
        <div class="bar">
          <nav class="tabs" aria-label={en.result.parts}>
            {TABS.map((to) => (
              <button
                type="button"
                key={to}
                aria-current={tab.value === to ? "page" : undefined}
                onClick={() => goTo(to)}
              >
                {en.result.tabs[to]}
                {(to === "look" || to === "faults") && counts[to] > 0 && (
                  <span class="count figure">{counts[to]}</span>
                )}
              </button>
            ))}
          </nav>
          <Find view={view} />
        </div>
        {tab.value === "pens" && <Pens view={view} />}
        {tab.value === "look" && <Look view={view} />}
        {tab.value === "faults" && (
          <section aria-labelledby="faults-title">
            <h2 id="faults-title">{en.faults.title}</h2>
            <Problems problems={view.problems} />
          </section>
        )}
        {tab.value === "out" && <Out view={view} />}
      </main>
      {open && <EweSheet ewe={open} view={view} />}
    </div>
  );
}

/** What the moves by hand cost, and the way to have the others sorted around them. */
function ByHand({ words }: { words: string }) {
  return (
    <div class="by-hand">
      <p>{words}</p>
      <button type="button" class="plain" disabled={busy.value !== ""} onClick={() => void sort()}>
        {en.hand.rest}
      </button>
    </div>
  );
}
