/** Keeps the screen on while the race is open, where the device can: hands are wet, and a dark screen loses minutes. */

/** Asks for it, again whenever the page comes back into sight; the answer lets go. */
export function stayAwake(): () => void {
  let held: WakeLockSentinel | undefined;
  let isOver = false;
  const ask = () => {
    if (document.visibilityState !== "visible" || !("wakeLock" in navigator)) return;
    navigator.wakeLock.request("screen").then(
      (lock) => {
        held = lock;
        if (isOver) void lock.release();
      },
      // A device that is low on battery refuses; the race goes on.
      () => undefined,
    );
  };
  document.addEventListener("visibilitychange", ask);
  ask();
  return () => {
    isOver = true;
    document.removeEventListener("visibilitychange", ask);
    void held?.release();
  };
}
