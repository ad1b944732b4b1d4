/** The way from room to room, where there is a flock to be in them with. */
import { closeRoom, openRoom } from "../store/back";
import { isRoom, screen, type Room } from "../store/screen";
import { busy, openDemo, toStart, view } from "../store/sort";
import { en } from "../text/en";

/** The rooms of a sorted flock, in the order of the work. */
const OF_A_FLOCK = ["plan", "regroup", "card", "count"] as const satisfies readonly Room[];

/** Whether a screen is one of them, or the sort itself. */
const isHere = (of: string) => of === "result" || OF_A_FLOCK.some((room) => room === of);

/** A row of ways. */
export function Rooms() {
  const at = screen.value;
  if (!view.value || !isHere(at)) return null;
  return (
    <nav class="rooms" aria-label={en.rooms.title}>
      <Way here={at === "result"} words={en.rooms.sort} go={() => isRoom(screen.value) && closeRoom()} />
      {OF_A_FLOCK.map((room) => (
        <Way key={room} here={at === room} words={en.rooms[room]} go={() => openRoom(room)} />
      ))}
    </nav>
  );
}

function Way({ here, words, go }: { here: boolean; words: string; go: () => void }) {
  return (
    <button type="button" aria-current={here ? "page" : undefined} onClick={go}>
      {words}
    </button>
  );
}

/** What stands in a room where there is no flock: it was opened by its address. */
export function NoFlock({ room }: { room: Room }) {
  const demo = async () => {
    await openDemo();
    if (view.value) openRoom(room);
  };
  return (
    <section class="no-flock">
      <p>{en.rooms.noSort}</p>
      <p class="acts">
        <button
          type="button"
          class="main"
          onClick={() => {
            closeRoom();
            toStart();
          }}
        >
          {en.rooms.choose}
        </button>
        <button type="button" class="plain" disabled={busy.value !== ""} onClick={() => void demo()}>
          {en.demo.button}
        </button>
      </p>
    </section>
  );
}
