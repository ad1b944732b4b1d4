/** What is said of the installed site. */
import { kept, keptNow, newer, takeNewer, version } from "../store/site";
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
