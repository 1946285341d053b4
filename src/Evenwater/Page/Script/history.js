// The history page: charts that can be looked into. Without this script the page shows the same, drawn by the server.
import { Chart, load } from './history-chart.js';
import { buttons, fingers, keys } from './history-hands.js';
import { fetchSpan, parameters, stepFor, when } from './history-data.js';
import { View } from './history-view.js';

const box = document.getElementById('charts');
const readout = box.querySelector('.readout');
const spans = { hour: 1, night: 14, day: 24, week: 168, month: 720, year: 8760 };
const waits = readout.textContent;
let data = null;
let fetching = null;
let paging = null;
let at = null;

const marks = () => [...document.querySelectorAll('.marks li')].map(item => ({ number: item.value, at: Number(item.dataset.at) }));
const view = new View(Number(box.dataset.from), Number(box.dataset.to), Number(box.dataset.now), () => charts.forEach(chart => chart.show()), settled);
const told = { view: () => view, marks, cursor: index => { if (index !== null) tell(index, false); }, selected: (from, to) => view.go(from, to) };
let charts = [];

const cursor = {
  move(by) {
    if (!data) return;
    const next = Math.min(data.times.length - 1, Math.max(0, at === null || !seen(at) ? middle() : at + by));
    this.put(next);
    const place = (data.times[next] * 1000 - view.from) / view.length;
    if (place < 0.02) view.pan(-0.25);
    if (place > 0.98) view.pan(0.25);
  },
  end(side) {
    if (!data) return;
    const shown = data.times.flatMap((_, i) => seen(i) ? [i] : []);
    if (shown.length > 0) this.put(shown.at(side < 0 ? 0 : -1));
  },
  put(index) {
    charts.forEach(chart => chart.point(index));
    tell(index, true);
  },
  none() {
    at = null;
    readout.textContent = waits;
  },
};
const seen = index => data.times[index] * 1000 >= view.from && data.times[index] * 1000 <= view.to;
const middle = () => data.times.findIndex(time => time * 1000 >= (view.from + view.to) / 2);

/** What every line was at one time. Said aloud only when it was asked for by a key: a mouse passes over hundreds. */
function tell(index, aloud) {
  at = index;
  readout.setAttribute('aria-live', aloud ? 'polite' : 'off');
  const values = data.lines.map(line => line.mean[index] == null ? `${line.label}: no reading`
    : `${line.label} ${line.mean[index].toFixed(line.decimals)} ${line.unit} (${line.min[index].toFixed(line.decimals)} to ${line.max[index].toFixed(line.decimals)})`);
  readout.textContent = `${when(data.times[index] * 1000, data.zone, data.step)}. ${values.join('; ')}.`;
}

/** The view has come to rest: the address tells it, finer lines are fetched when there are any, and then the figures of what is shown. */
function settled() {
  const shown = parameters(view, box);
  history.replaceState(null, '', `${location.pathname}?${shown}`);
  const covered = data && data.from <= view.from + data.step && data.to >= Math.min(view.to, data.now) - data.step;
  // With half a view to either side: what is there is as fine as could be had, or nearly.
  if (!covered || data.step > 1.1 * Math.max(1000, stepFor(2 * view.length))) refetch(0.5);
  page(shown);
}

async function refetch(beside) {
  fetching?.abort();
  const own = fetching = new AbortController();
  box.classList.add('stale');
  try {
    const margin = beside * view.length;
    const next = await fetchSpan({ from: view.from - margin, to: Math.max(view.from - margin + 60_000, Math.min(view.to + margin, Math.max(Number(box.dataset.now), view.to))) }, box, own.signal);
    data = next;
    box.dataset.now = next.now;
    view.known(next.now);
    at = null;
    charts.forEach(chart => chart.draw(data));
    box.classList.remove('stale');
    box.dataset.drawn = String(Number(box.dataset.drawn ?? 0) + 1);
  } catch (error) {
    if (own.signal.aborted) return;
    readout.textContent = `Finer lines could not be fetched (${error.message}); what is shown was there before.`;
  }
}

/** Sentence, list, figures and links of what is shown, as the daemon words them. */
async function page(shown) {
  paging?.abort();
  const own = paging = new AbortController();
  try {
    await new Promise(done => setTimeout(done, 500));
    own.signal.throwIfAborted();
    const answer = await fetch(`${location.pathname}?${shown}`, { signal: own.signal, headers: { Accept: 'text/html' } });
    if (!answer.ok) throw new Error(String(answer.status));
    const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html');
    if (!fresh.querySelector('#figures')) throw new Error('a password is asked for');
    for (const part of ['.sentence', '.spans', '#happened', '#figures', '#take', '#ask']) {
      const [old, now] = [document.querySelector(part), fresh.querySelector(part)];
      if (old && now && !old.contains(document.activeElement)) old.replaceWith(now);
    }
    document.querySelector('.spoken').textContent = document.querySelector('.sentence').textContent;
    charts.forEach(chart => chart.show());
  } catch (error) {
    if (own.signal.aborted) return;
    const words = `What is told in words and figures is still of the span before: it could not be fetched (${error.message}).`;
    for (const place of document.querySelectorAll('.sentence, .spoken')) place.textContent = words;
  }
}

async function begin() {
  const [library] = await Promise.all([load(box.dataset.library), refetch(0)]);
  charts = [...box.querySelectorAll('figure')].map(figure => new Chart(library, figure, told));
  for (const chart of charts) {
    if (data) chart.draw(data);
    chart.place.addEventListener('keydown', event => keys(event, view, cursor));
    fingers(chart, view);
  }
  for (const shown of box.querySelectorAll('.acts, .how, .readout')) shown.hidden = false;
  buttons(box, view);
  for (const query of ['(prefers-color-scheme: dark)', '(forced-colors: active)', `(resolution: ${devicePixelRatio}dppx)`]) {
    matchMedia(query).addEventListener('change', () => charts.forEach(chart => chart.redraw()));
  }
  box.dataset.ready = 'yes';
}

// Another span of the same lines needs no new page.
document.addEventListener('click', event => {
  if (!event.target.closest?.('.spans a')) return;
  const hours = spans[new URLSearchParams(event.target.search ?? '').get('span')];
  if (!hours || !box.dataset.ready || box.dataset.compare || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  const now = Number(box.dataset.now);
  view.begin(now - hours * 3600e3, now);
  refetch(0);
});

begin();
