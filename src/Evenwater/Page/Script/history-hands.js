// How a view is moved: by the keys, by the buttons, by two fingers. Dragging a span with the mouse is the chart's own.

/** Keys of a chart in focus. */
export function keys(event, view, cursor) {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  const acts = {
    ArrowLeft: () => event.shiftKey ? view.pan(-0.1) : cursor.move(-1),
    ArrowRight: () => event.shiftKey ? view.pan(0.1) : cursor.move(1),
    PageUp: () => view.pan(-0.5),
    PageDown: () => view.pan(0.5),
    '+': () => view.zoom(0.5), '=': () => view.zoom(0.5),
    '-': () => view.zoom(2), '_': () => view.zoom(2),
    0: () => view.whole(),
    Home: () => cursor.end(-1),
    End: () => cursor.end(1),
    Escape: () => cursor.none(),
  };
  const act = acts[event.key];
  if (!act) return;
  event.preventDefault();
  act();
}

/** The buttons above the charts. */
export function buttons(box, view) {
  const acts = { earlier: () => view.pan(-0.25), later: () => view.pan(0.25), closer: () => view.zoom(0.5), wider: () => view.zoom(2), whole: () => view.whole() };
  for (const button of box.querySelectorAll('button[data-act]')) button.addEventListener('click', () => acts[button.dataset.act]());
}

/** One finger moves the span along, two stretch it and move it: the times that they were put on stay under them. */
export function fingers(chart, view) {
  const down = new Map(); // where each finger is, and the time it was put on
  const hold = () => down.forEach(finger => finger.time = view.from + chart.share(finger.x) * view.length);
  chart.place.addEventListener('pointerdown', event => {
    if (event.pointerType !== 'touch') return;
    down.set(event.pointerId, { x: event.clientX });
    hold();
  });
  for (const name of ['pointerup', 'pointercancel', 'pointerleave']) chart.place.addEventListener(name, event => down.delete(event.pointerId) && hold());
  chart.place.addEventListener('pointermove', event => {
    const finger = down.get(event.pointerId);
    if (finger === undefined || event.clientX === finger.x) return;
    finger.x = event.clientX;
    const [one, two] = down.values();
    if (down.size > 2) return;
    const apart = two ? chart.share(one.x) - chart.share(two.x) : 0;
    const length = two ? (one.time - two.time) / apart : view.length;
    if (two && !(length > 0 && Math.abs(apart) > 0.02)) return; // one over the other: there is no span to tell
    const from = one.time - chart.share(one.x) * length;
    view.go(from, from + length, false);
  });
}
