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

/** One finger moves the span along, two stretch it. */
export function fingers(chart, view) {
  const down = new Map();
  chart.place.addEventListener('pointerdown', event => {
    if (event.pointerType === 'touch') down.set(event.pointerId, event.clientX);
  });
  for (const name of ['pointerup', 'pointercancel', 'pointerleave']) chart.place.addEventListener(name, event => down.delete(event.pointerId));
  chart.place.addEventListener('pointermove', event => {
    const before = down.get(event.pointerId);
    if (before === undefined || event.clientX === before) return;
    if (down.size === 1) {
      const by = (before - event.clientX) / chart.width * view.length;
      view.go(view.from + by, view.to + by, false);
    } else if (down.size === 2) {
      const other = [...down].find(([id]) => id !== event.pointerId)[1];
      const times = Math.abs(before - other) / Math.max(8, Math.abs(event.clientX - other));
      view.zoom(Math.min(2, Math.max(0.5, times)), chart.share((event.clientX + other) / 2), false);
    }
    down.set(event.pointerId, event.clientX);
  });
}
