// Keeps an open page true: figures in place, ages by the second, everything else drawn anew by the server when it has changed, and a clear
// word when the line is lost. The page is whole without this script.
import { ageWords } from "./age.js";

const line = document.querySelector("[data-live]");
const spoken = document.querySelector("p.spoken");
const due = 2; // s: until then an event may still come and tell the age itself; at 60 times life a value would be stale between two of them
const silentAfter = 10; // s without an event: the server sends one a second
const redrawEvery = 30; // s of the station's time, and never sooner than 3 s of ours: the picture and the budgets; at once when something else has changed
const askAgain = 5; // s between attempts while the line is lost
const answerFor = 60; // s: what was answered stands, and then no longer beside what has come since
const speakEvery = 60; // s between two sentences that are spoken while the word stays; a new word is spoken at once

// The steady clock stands still while the computer sleeps, the other may be set: when that has gone further by a second, it was sleep. In doubt the values are old, and no time comes twice.
let ahead = Date.now() - performance.now(), slept = -performance.now();
const now = () => {
  const steady = performance.now(), further = Date.now() - steady - ahead;
  if (further > 1000) slept += further;
  if (Math.abs(further) > 1000) ahead += further;
  return (steady + slept) / 1000;
};

let source = null, heardAt = 0, drawnAt = 0, askedAt = 0, spokenAt = -speakEvery, drawing = null, gone = false;
// The last word of each station, at first that of the page as it was served: what changed before the first event is news to who cannot see it.
let words = Object.fromEntries([...document.querySelectorAll("[data-station]:has(.word):has([data-sentence])")].map(place =>
  [place.dataset.station, { word: place.querySelector(".word").textContent.trim(), sentence: place.querySelector("[data-sentence]").textContent }]));

if (location.pathname !== line.dataset.page) history.replaceState(null, "", line.dataset.page);
const speedOf = station => words[station]?.speed ?? 1;

function open() {
  source?.close();
  askedAt = now();
  source = new EventSource(line.dataset.live);
  source.onmessage = event => hear(JSON.parse(event.data));
}

function hear(data) {
  heardAt = now();
  const all = data.stations ?? [data];
  const before = words;
  words = Object.fromEntries(all.map(word => [word.station, word]));
  all.forEach(show);
  found();
  if (data.shape !== line.dataset.shape || now() - drawnAt >= Math.max(redrawEvery / speedOf(all[0]?.station), 3)) draw();
  // Of several the one whose word is another now, wherever it stands in the list.
  const told = all.find(word => before[word.station] && before[word.station].word !== word.word) ?? all[0];
  speak(told, before[told?.station], all.length > 1 ? `${told.station}: ` : "");
}

function show(word) {
  for (const place of document.querySelectorAll(`[data-station="${CSS.escape(word.station)}"]`)) {
    put(place.querySelector("[data-sentence]"), word.sentence);
    put(place.querySelector("[data-standing]"), word.standing);
    put(place.querySelector("[data-valve]"), word.valve);
    const clock = place.querySelector("[data-clock]");
    if (clock) put(clock, word.at.slice(11, 19)), clock.dateTime = word.at;
    for (const value of word.values ?? []) {
      const row = place.querySelector(`[data-value="${CSS.escape(value.label)}"]`);
      if (!row) continue;
      put(row.querySelector("[data-figure]"), value.shown);
      put(row.querySelector("[data-range]"), value.range ?? "");
      Object.assign(row.dataset, { age: value.ageSeconds ?? "", agedAt: heardAt });
      if (value.ageSeconds === null) delete row.dataset.age;
    }
  }
  age();
}

function put(element, text) {
  if (element && element.textContent !== text) element.textContent = text;
}

function age() {
  for (const row of document.querySelectorAll("[data-value]")) {
    if (row.dataset.age === undefined) continue;
    const station = row.closest("[data-station]").dataset.station;
    const since = now() - Number(row.dataset.agedAt ?? 0);
    const seconds = Number(row.dataset.age) + (since > due ? since * speedOf(station) : 0);
    const stale = seconds > Number(row.dataset.staleAfter);
    row.classList.toggle("doubt", stale || "doubt" in row.dataset);
    put(row.querySelector("[data-shown-age]"), (stale ? "stale " : "") + ageWords(seconds));
  }
}

// A new word at once; a sentence that only counts on is not repeated to who cannot see it.
function speak(word, before, where) {
  if (!word || !before || (word.word === before.word && (word.sentence === before.sentence || now() - spokenAt < speakEvery))) return;
  spokenAt = now();
  if (!where) document.title = `${word.word}: ${word.station}`; // that of several is of the most urgent, and comes with the drawing
  put(spoken, `${where}${word.word}. ${word.sentence}`);
}

// Fetches the page and takes its parts over; answers whether the server is there. Who asks meanwhile has the same answer: one that is still waited for says nothing of the line.
const draw = () => drawing ??= fetched().finally(() => drawing = null);

async function fetched() {
  drawnAt = now();
  try {
    const answer = await fetch(line.dataset.page, { headers: { Accept: "text/html" }, cache: "no-store", signal: AbortSignal.timeout(8000) });
    gone = answer.status === 404;
    if (!answer.ok) return false; // not there, or asked too often: what is here stays, and is asked for again
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    const script = of => of.querySelector("script[src*='/live.js']")?.getAttribute("src");
    const live = of => of.querySelector("[data-live]")?.dataset.live;
    if (script(fresh) !== script(document) || live(fresh) !== live(document)) return location.reload(), false; // another program, a password is asked for, or of several stations one is left
    for (const part of document.querySelectorAll("[data-part]")) replace(part, fresh.querySelector(`[data-part="${part.dataset.part}"]`));
    if (!document.hidden) document.title = fresh.title;
    line.dataset.shape = fresh.querySelector("[data-shape]").dataset.shape;
    return true;
  } catch {
    return gone = false;
  }
}

// Never under somebody's finger or in the midst of their typing.
function replace(part, fresh) {
  const active = part.contains(document.activeElement) ? document.activeElement : null;
  if (fresh?.isEqualNode(part) || part.querySelector(":active") || active?.matches("input, select, textarea")) return;
  if (!fresh) return part.remove(); // the cautions, put away on another page
  const form = active?.closest("form");
  const place = form ? `form[action="${CSS.escape(form.getAttribute("action"))}"] button` : active?.matches("a") ? `a[href="${CSS.escape(active.getAttribute("href"))}"]` : null;
  for (const ticked of part.querySelectorAll("input[type=checkbox]:checked")) {
    const same = fresh.querySelector(`form[action="${CSS.escape(ticked.form.getAttribute("action"))}"] input[name="${CSS.escape(ticked.name)}"]`);
    if (same) same.checked = true;
  }
  for (const row of fresh.querySelectorAll("[data-value]")) row.dataset.agedAt = now();
  part.replaceWith(document.adoptNode(fresh));
  if (place) fresh.querySelector(place)?.focus({ preventScroll: true });
}

function lose() {
  const last = document.querySelector("[data-clock]")?.dateTime; // none where the clock was never set
  const since = last ? ` since ${last.slice(11, 16)}` : "";
  put(line, gone ? `Not told of${since}: the program answers, but has no such station. All below is old. Look at the vessel itself, and whether the program's configuration names this station.`
    : `Not connected${since}: all below is old. Look at the vessel itself, and whether this network and the station's computer run.`);
  document.body.classList.add("old");
  const unknown = document.querySelector("template.unknown");
  if (!unknown) return;
  for (const word of document.querySelectorAll(".word:not(.word-act, .word-cannottell)")) {
    word.replaceWith(unknown.content.cloneNode(true));
    document.title = "Can't tell: not connected";
  }
}

function found() {
  if (document.body.classList.contains("old")) drawnAt = -redrawEvery; // the word that was taken away comes back
  put(line, "");
  document.body.classList.remove("old");
}

async function tick() {
  age();
  if (now() > answerFor) document.querySelector(".say > .answer")?.remove();
  if (document.hidden) return;
  const silent = now() - heardAt > silentAfter;
  if (silent) lose();
  if ((silent || source.readyState === EventSource.CLOSED) && now() - askedAt > askAgain) {
    open();
    if (await draw()) (heardAt = now()), found(); // no stream to be had, such as when too many listen: the page itself, now and then
  }
}

// Nobody reads a hidden page but for its title, which must not go on saying what was.
function rest() {
  source?.close();
  document.title = "Can't tell: not followed while hidden";
}

function resume() {
  age();
  open();
  draw();
}

document.addEventListener("visibilitychange", () => document.hidden ? rest() : resume());
addEventListener("pagehide", () => source?.close());
addEventListener("pageshow", event => event.persisted && resume());
document.body.classList.add("scripted");
document.hidden ? rest() : open();
setInterval(tick, 1000);
