/** Confirmation by ear and hand, for eyes that are on the animal. */
import { signal } from "@preact/signals";

/** Whether the device may sound and shake. */
export const loud = signal(true);

let tones: AudioContext | undefined;

/** Tells that something is saved, or that something is asked. */
export function tell(what: "saved" | "asked"): void {
  if (!loud.value) return;
  try {
    if ("vibrate" in navigator) navigator.vibrate(what === "saved" ? 60 : [60, 80, 60]);
    tones ??= new AudioContext();
    const at = tones.currentTime;
    beep(tones, what === "saved" ? 880 : 330, at);
    if (what === "asked") beep(tones, 330, at + 0.18);
  } catch {
    // A device without sound is no reason to stop.
  }
}

function beep(on: AudioContext, hertz: number, at: number): void {
  const [tone, volume] = [on.createOscillator(), on.createGain()];
  tone.frequency.value = hertz;
  volume.gain.setValueAtTime(0.25, at);
  volume.gain.exponentialRampToValueAtTime(0.001, at + 0.14);
  tone.connect(volume).connect(on.destination);
  tone.start(at);
  tone.stop(at + 0.15);
}
