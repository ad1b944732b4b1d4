/** Where the list of feeds comes from. */
import { feeds, takeDemoFeeds, takeFeeds } from "../store/feeds";
import { KINDS } from "../store/files";
import { en } from "../text/en";

const words = en.plan;

/** The list, or the ways to one; `after` is done once there is another. */
export function Feeds({ offersDemo, after }: { offersDemo: boolean; after: () => void }) {
  const known = feeds.value;
  return (
    <section class="from" aria-labelledby="feeds-title">
      <h2 id="feeds-title">{words.from}</h2>
      {known ? (
        <p>
          <b>{known.name}</b>
        </p>
      ) : (
        <p class="quiet" id="feeds-help">
          {words.fromHelp}
        </p>
      )}
      <p class="acts">
        <label class={`button ${known ? "plain" : "main"}`}>
          {known ? words.other : words.pick}
          <input
            type="file"
            accept={KINDS}
            data-slot="feeds"
            {...(known ? {} : { "aria-describedby": "feeds-help" })}
            onChange={(event) => {
              const file = event.currentTarget.files?.[0];
              if (file) void takeFeeds(file).then(after);
              event.currentTarget.value = "";
            }}
          />
        </label>
        {offersDemo && !known && (
          <button type="button" class="plain" onClick={() => void takeDemoFeeds().then(after)}>
            {words.demo}
          </button>
        )}
      </p>
      {offersDemo && !known && <p class="quiet">{words.demoHelp}</p>}
    </section>
  );
}
