/** Coming into a room: its top is on screen, and its title has the focus, so that a screen reader says it. */
import { useEffect, useRef } from "preact/hooks";

/** To be given to the room's title. */
export function useArrival() {
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    scrollTo(0, 0);
    title.current?.focus();
  }, []);
  return title;
}
