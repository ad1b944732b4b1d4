/** How wide a picture may be, now and whenever that changes. */

/** Tells it at once, and again after each change. The function that comes back ends it. */
export function watchWidth(box: HTMLElement, tell: (width: number) => void): () => void {
  const measure = () => tell(Math.round(box.clientWidth));
  measure();
  let next = 0;
  // In a frame of its own: what is drawn may bring a scroll bar, and with it another width in the same frame.
  const watch = new ResizeObserver(() => {
    cancelAnimationFrame(next);
    next = requestAnimationFrame(measure);
  });
  watch.observe(box);
  return () => {
    watch.disconnect();
    cancelAnimationFrame(next);
  };
}
