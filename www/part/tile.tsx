/** A pen's sign: its letter on its own pattern; the colour only comes third. */
import { useName } from "./name";

const PATTERNS: readonly string[] = [
  "M0,4H16M0,12H16",
  "M4,0V16M12,0V16",
  "M-2,18L18,-2M-2,2L2,-2M14,18L18,14",
  "M2.5,4a1.5,1.5 0 1 0 3,0a1.5,1.5 0 1 0 -3,0M10.5,12a1.5,1.5 0 1 0 3,0a1.5,1.5 0 1 0 -3,0",
  "M0,0L16,16M16,0L0,16",
  "M0,4L4,8L8,4L12,8L16,4M0,12L4,16L8,12L12,16L16,12",
  "M0,0H16M0,8H16M4,0V8M12,8V16",
  "M8,2V14M2,8H14",
  "M-2,-2L18,18M-2,14L2,18M14,-2L18,2",
  "M0,8A8,8 0 0 1 16,8M0,16A8,8 0 0 1 16,16",
  "M8,3L13,8L8,13L3,8Z",
  "M0,0H8V8H16V16H8V8H0Z",
];

/** A pen's sign; `at` is its place in the file. */
export function Tile({ name, at, size = 64 }: { name: string; at: number; size?: number }) {
  const pattern = at % PATTERNS.length;
  const id = useName();
  // A long name stands in full beside the sign.
  const short = Array.from(name).length <= 3 ? name : (Array.from(name)[0] ?? "");
  const plate = size * (short.length > 1 ? 0.3 + short.length * 0.16 : 0.54);
  return (
    <svg
      class={`tile tint-${at % 8}`}
      width={size}
      height={size}
      viewBox={`0 0 ${size} ${size}`}
      aria-hidden="true"
    >
      <defs>
        <pattern id={id} width="16" height="16" patternUnits="userSpaceOnUse">
          <path class="weave" d={PATTERNS[pattern]} />
        </pattern>
      </defs>
      <rect class="ground" x="1" y="1" width={size - 2} height={size - 2} />
      <rect x="1" y="1" width={size - 2} height={size - 2} fill={`url(#${id})`} />
      <rect class="plate" x={(size - plate) / 2} y={size * 0.2} width={plate} height={size * 0.6} />
      <text
        x={size / 2}
        y={size * 0.5}
        font-size={size * 0.5}
        text-anchor="middle"
        dominant-baseline="central"
      >
        {short}
      </text>
    </svg>
  );
}
