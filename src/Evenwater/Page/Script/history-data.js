// What is drawn: fetched from the daemon, and put into the columns that the chart library wants.

/** An instant as it stands in an address. */
export const instant = ms => new Date(Math.round(ms / 1000) * 1000).toISOString().replace(/(:00)?\.000Z$/, 'Z');

const day = 86400e3;

// A long span is shown by days: shorter stretches would fill the chart with each day's own ups and downs.
const pointsFor = length => length > 200 * day ? Math.min(1500, Math.ceil(length / day)) : 1500;

/** How long the stretches would be of a span that is fetched anew. */
export const stepFor = length => length / pointsFor(length);

/** The parameters of a view: its ends, what is laid over, its channels. */
export function parameters(view, box) {
  const parts = [`from=${instant(view.from)}`, `to=${instant(view.to)}`];
  if (box.dataset.compare) parts.push('compare=own', `compareFrom=${instant(view.from + Number(box.dataset.compare) - Number(box.dataset.from))}`);
  return [...parts, box.dataset.rest].join('&');
}

/** The lines of a span. Asks again when others are reading; gives up when it is called off. */
export async function fetchSpan(view, box, signal) {
  const address = `/api/v1/history?here=${encodeURIComponent(box.dataset.here)}&marks=0&points=${pointsFor(view.to - view.from)}&${parameters(view, box)}`;
  for (let tries = 0; ; tries++) {
    const answer = await fetch(address, { signal });
    if (answer.ok) return columns(await answer.json());
    if (![429, 503].includes(answer.status) || tries > 2) throw new Error(`the daemon answered ${answer.status}`);
    await new Promise(done => setTimeout(done, 1000 * Number(answer.headers.get('Retry-After') ?? 2)));
    signal.throwIfAborted();
  }
}

/** Times at the middle of each stretch, in seconds, and each line's lowest, mean and highest. */
export function columns(answer) {
  const times = Array.from({ length: answer.count }, (_, i) => (answer.fromMs + (i + 0.5) * answer.stepMs) / 1000);
  const lines = answer.series.map(series => {
    const missing = gapsOf(series, answer);
    const each = values => values.map((value, i) => value ?? (missing[i] ? null : undefined));
    return { ...series, min: each(series.min), mean: each(series.mean), max: each(series.max) };
  });
  return { from: answer.fromMs, to: answer.toMs, step: answer.stepMs, now: answer.nowMs, zone: answer.zone, times, lines };
}

// Null breaks a line, undefined does not: an empty stretch between two readings of a slow probe is no gap.
function gapsOf(series, answer) {
  const missing = new Uint8Array(answer.count);
  for (const [from, to] of series.gaps) {
    const first = Math.max(0, Math.floor((from - series.fromMs) / answer.stepMs));
    missing.fill(1, first, Math.max(first + 1, Math.ceil((to - series.fromMs) / answer.stepMs)));
  }
  return missing;
}

/** The place's clock: a date whose UTC fields read as the clock on the wall there. */
export function wall(ms, zone) {
  let minutes = zone.length > 0 ? zone[0][1] : 0;
  for (const [from, ahead] of zone) if (ms >= from) minutes = ahead;
  return new Date(ms + minutes * 60000);
}

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const days = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];
const two = number => String(number).padStart(2, '0');

/** A time in words, with seconds where stretches are that short. */
export function when(ms, zone, step) {
  const at = wall(ms, zone);
  const clock = `${two(at.getUTCHours())}:${two(at.getUTCMinutes())}${step < 60000 ? `:${two(at.getUTCSeconds())}` : ''}`;
  return `${days[at.getUTCDay()]} ${at.getUTCDate()} ${months[at.getUTCMonth()]} ${at.getUTCFullYear()} ${clock}`;
}

/** What stands beside the axis: with a point and without a mark between thousands, as everywhere here. The library would write as the browser's language does, and 52.500 read as 52.5. */
export const level = value => String(Number(value.toFixed(4)));

/** What stands below the axis, by how far its marks are apart (seconds). */
export function tick(seconds, apart, zone) {
  const at = wall(seconds * 1000, zone);
  const date = `${at.getUTCDate()} ${months[at.getUTCMonth()]}`;
  if (apart >= 86400 * 28) return `${months[at.getUTCMonth()]} ${at.getUTCFullYear()}`;
  if (apart >= 86400) return date;
  const clock = `${two(at.getUTCHours())}:${two(at.getUTCMinutes())}`;
  return apart < 60 ? `${clock}:${two(at.getUTCSeconds())}` : clock === '00:00' ? date : clock;
}

/**
 * Numbers above a chart that lie too close to be read share one, "3–5". The marks are in order of x; what is nearer than room to the first of a mark shares it, and marks whose words would touch are one.
 * @param half  half of what words are wide; they are kept within left and right
 */
export function shared(marks, room, half = () => 0, left = -Infinity, right = Infinity) {
  const told = [];
  const add = (from, to) => {
    const words = from === to ? `${marks[from].number}` : `${marks[from].number}–${marks[to].number}`;
    told.push({ from, to, words, half: half(words), x: Math.max(left + half(words), Math.min(marks[from].x, right - half(words))) });
  };
  marks.forEach((mark, i) => {
    const near = told.at(-1);
    if (near && mark.x - marks[near.from].x < room) add(told.pop().from, i);
    else add(i, i);
    while (told.length > 1 && told.at(-1).x - told.at(-2).x < told.at(-1).half + told.at(-2).half) {
      const { to } = told.pop();
      add(told.pop().from, to);
    }
  });
  return told;
}

/** Whether a chart's unit is that of two states. */
export const isSwitch = unit => unit === '0 dry, 1 wet';

/** Where a chart's values begin and end: a line that hardly moves is not stretched until its levels have more digits than there is place for; two states are always both there. */
export function ends(unit, low, high) {
  const [from, to] = isSwitch(unit) || low == null ? [0, 1] : [low, high];
  const room = Math.max(0.06 * (to - from), 0.05, 2e-4 * Math.max(Math.abs(from), Math.abs(to)));
  return [from - room, to + room];
}
