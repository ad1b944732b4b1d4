/** What is said of the installed site. */
import { useState } from "preact/hooks";
import { canInstall, kept, keptNow, newer, takeNewer, version } from "../store/site";
import { en } from "../text/en";

/** Version, whether it is kept, and the newer one that waits. Not at the race: nothing may change there. */
export function Kept() {
  return (
    <>
      <p>
        {en.site.version(version)} {kept.value && en.site.kept}
      </p>
      {keptNow.value && <p role="status">{en.site.keptNow}</p>}
      {newer.value && (
        <p class="acts">
          <button type="button" class="plain" onClick={takeNewer}>
            {en.site.newer}
          </button>
        </p>
      )}
    </>
  );
}

/** Advice before the first entry: an installed site has a store of its own on some devices. */
export function InstallFirst() {
  const [advised] = useState(canInstall);
  if (!advised) return null;
  return (
    <section class="install">
      <h2>{en.site.install}</h2>
      <p>{en.site.installHelp}</p>
    </section>
  );
}
