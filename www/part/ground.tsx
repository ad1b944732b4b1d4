/** What stands behind the marks: the axis, where no ration can go, and the ration's post. */
import { useName } from "./name";
import type { Axis } from "../engine/types";
import { EDGE, type Picture } from "./picture";

/** Room above the marks for the words on the post, CSS px. */
export const POST_ROOM = 42;

/** Fine lines at the ticks, hatching beyond the limits of a ration, and the ground. */
export function Ground(props: { axis: Axis; picture: Picture; top: number; floor: number }) {
  const { axis, picture, top, floor } = props;
  const { scale, width } = picture;
  // A pattern of a strip that is hidden draws nothing, so each strip has its own.
  const hatch = useName();
  const zone = (from: number, to: number) =>
    to - from > 1 && <rect fill={`url(#${hatch})`} x={from} y={top} width={to - from} height={floor - top} />;
  return (
    <g aria-hidden="true">
      <defs>
        <pattern id={hatch} width="8" height="8" patternUnits="userSpaceOnUse">
          <path class="hatch-line" d="M-2,10L10,-2M-2,2L2,-2M6,10L10,6" />
        </pattern>
      </defs>
      {zone(0, scale(Math.max(axis.level_low, axis.low)) - (axis.level_low > axis.low ? 0 : EDGE))}
      {zone(scale(Math.min(axis.level_high, axis.high)) + (axis.level_high < axis.high ? 0 : EDGE), width)}
      {ticks(picture).map((tick) => (
        <path key={tick} class="hair" d={`M${scale(tick)},${top}V${floor}`} />
      ))}
      <path class="soil" d={`M0,${floor}H${width}`} />
    </g>
  );
}

/** The ration: a post through the strip that carries its value in words. */
export function Post({ x, words, width, floor }: { x: number; words: string; width: number; floor: number }) {
  const flag = Math.min(words.length * 8.3 + 20, width);
  const left = Math.min(Math.max(x - 3, 0), width - flag);
  return (
    <g class="post" aria-hidden="true">
      <path style={{ transform: `translateX(${x}px)` }} class="stake" d={`M0,26V${floor}`} />
      <g style={{ transform: `translateX(${left}px)` }}>
        <rect width={flag} height="28" />
        <text x={flag / 2} y="14.5" text-anchor="middle" dominant-baseline="central">
          {words}
        </text>
      </g>
    </g>
  );
}

/** The axis' numbers, once for all strips. */
export function Numbers({ axis, picture }: { axis: Axis; picture: Picture }) {
  const { scale, width } = picture;
  const format = scale.tickFormat(Math.max(Math.floor(width / 60), 4));
  return (
    <svg
      class="numbers"
      width={width}
      height="34"
      viewBox={`0 0 ${width} 34`}
      role="img"
      aria-label={axis.title}
    >
      {ticks(picture).map((tick) => (
        <g key={tick}>
          <path class="soil" d={`M${scale(tick)},26V34`} />
          <text x={scale(tick)} y="18" text-anchor="middle">
            {format(tick)}
          </text>
        </g>
      ))}
    </svg>
  );
}

/** Round numbers, and no two so near that their figures touch. */
function ticks({ scale, width }: Picture): number[] {
  const apart = 52;
  let last = -apart;
  return scale.ticks(Math.max(Math.floor(width / 60), 4)).filter((tick) => {
    const x = scale(tick);
    if (x - last < apart) return false;
    last = x;
    return true;
  });
}
