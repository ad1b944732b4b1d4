/** A figure on a slider, said beside it. */
import { useName } from "./name";

/** The slider; `range` is least, most, step. */
export function Slide(props: {
  label: string;
  at: number;
  range: readonly [number, number, number];
  say: (at: number) => string;
  go: (to: number) => void;
  disabled?: boolean;
}) {
  const { label, at, range, say, go, disabled = false } = props;
  const [least, most, step] = range;
  const id = useName();
  return (
    <div class="slide">
      <label for={id}>{label}</label>
      <output for={id} class="figure">
        {say(at)}
      </output>
      <input
        id={id}
        type="range"
        min={least}
        max={most}
        step={step}
        value={at}
        disabled={disabled}
        aria-valuetext={say(at)}
        onInput={(event) => go(Number(event.currentTarget.value))}
      />
    </div>
  );
}
