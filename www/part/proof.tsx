/** How near the best the sort is proved to be: a button, its progress, a way to stop. */
import { leaveProof, proof, prove, proving } from "../store/proof";
import { en } from "../text/en";

/** The proof's controls. */
export function Proof() {
  const {
    steps,
    most_steps: most,
    is_done: done,
  } = proof.value ?? { steps: 0, most_steps: 1, is_done: false };
  if (done) return <p role="status">{en.proof.done}</p>;
  if (!proving.value) {
    return (
      <button type="button" onClick={() => void prove()}>
        {steps > 0 ? en.proof.goOn : en.proof.start}
      </button>
    );
  }
  return (
    <div class="proof">
      <progress max={most} value={steps} aria-label={en.proof.progress} />
      <button type="button" onClick={leaveProof}>
        {en.proof.leave}
      </button>
    </div>
  );
}
