/** A ewe as a mark: it has as many corners as she carries lambs. */
import type { EweMark, Fit } from "../engine/types";

const corner = (count: number, at: number, radius: number, turn: number) => {
  const angle = (2 * Math.PI * at) / count + turn - Math.PI / 2;
  return `${(radius * Math.cos(angle)).toFixed(3)},${(radius * Math.sin(angle)).toFixed(3)}`;
};

const polygon = (count: number, radius: number, turn = 0, down = 0) => {
  const corners = Array.from({ length: count }, (_, at) => {
    const [x = "0", y = "0"] = corner(count, at, radius, turn).split(",");
    return `${x},${(Number(y) + down).toFixed(3)}`;
  });
  return `M${corners.join("L")}Z`;
};

/** Outlines by lambs carried, in a square from −1 to 1. */
const SHAPES: readonly string[] = [
  "M-1,-0.3H1V0.3H-1Z",
  "M0,-0.95A0.95,0.95 0 1 1 0,0.95A0.95,0.95 0 1 1 0,-0.95Z",
  "M0,-1.2C0.98,-0.5 0.98,0.5 0,1.2C-0.98,0.5 -0.98,-0.5 0,-1.2Z",
  polygon(3, 1.25, 0, 0.25),
  polygon(4, 1.22, Math.PI / 4),
  polygon(5, 1.12, 0, 0.06),
];

/** The outline for a number of lambs. */
export function outline(lambs: number): string {
  return SHAPES[Math.min(lambs, SHAPES.length - 1)] ?? "";
}

/** What is drawn of a ewe, around 0,0. */
export function MarkShape(props: { lambs: number; fit: Fit; size: number; assumed: boolean; kept: boolean }) {
  const { lambs, fit, size, assumed, kept } = props;
  const half = size / 2;
  return (
    <>
      <path class={`body ${fit}`} d={outline(lambs)} transform={`scale(${half})`} />
      {assumed && (
        <circle class={`dot ${fit}`} cy={lambs === 3 ? half * 0.22 : 0} r={Math.max(half * 0.3, 1)} />
      )}
      {kept && (
        <g class="pin">
          <path d={`M0,0L${half * 0.9},${-half * 1.5}`} />
          <circle cx={half * 0.9} cy={-half * 1.5} r={Math.max(half * 0.55, 2)} />
        </g>
      )}
    </>
  );
}

/** A ewe's mark alone, beside text. */
export function MarkIcon({ ewe, day, size = 22 }: { ewe: EweMark; day: number; size?: number }) {
  return (
    <svg
      class="icon"
      width={size * 1.8}
      height={size * 1.8}
      viewBox={`${-size * 0.9} ${-size * 0.9} ${size * 1.8} ${size * 1.8}`}
      aria-hidden="true"
    >
      <MarkShape
        lambs={ewe.litter}
        fit={ewe.fit[day] ?? "good"}
        size={size}
        assumed={ewe.assumed}
        kept={ewe.kept}
      />
    </svg>
  );
}
