// The plan's form, reckoned anew while one types. Without this its button does the same.
const form = document.getElementById("try");
const result = document.getElementById("result");
const unreckoned = document.getElementById("unreckoned");
const untaken = document.getElementById("untaken");
const spoken = document.querySelector(".spoken");
let waiting = 0;
let asking = null;

function show(fresh) {
  const answer = fresh.getElementById("result");
  untaken.hidden = answer.children.length > 0;
  if (answer.children.length > 0) {
    result.replaceChildren(...answer.children);
    // A part that comes with its words is not heard; one that was there before is.
    spoken.textContent = result.querySelector(".sentence").textContent;
  }
  // What was refused stands by its field; the field itself is left alone, somebody may be typing in it.
  for (const input of form.querySelectorAll("input, select")) {
    const now = input.closest(".field");
    const then = fresh.getElementById(input.id)?.closest(".field");
    if (!now || !then) continue;
    now.className = then.className;
    now.querySelector(".why")?.remove();
    const why = then.querySelector(".why");
    if (why) now.append(why);
    for (const name of ["aria-invalid", "aria-describedby"]) {
      const value = then.querySelector("input, select").getAttribute(name);
      if (value === null) input.removeAttribute(name);
      else input.setAttribute(name, value);
    }
    // A field that nobody touched shows what a chosen arrival brings.
    if (!touched.has(input.name) && then.querySelector("input")) input.value = then.querySelector("input").value;
  }
}

const touched = new Set(new URLSearchParams(location.search).keys());

async function reckon() {
  asking?.abort();
  const own = asking = new AbortController();
  const asked = new URLSearchParams();
  for (const [name, value] of new FormData(form)) {
    if (touched.has(name) && value !== "") asked.set(name, value);
  }
  const address = `${form.action}?${asked}`;
  result.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(`${address}&live=1`, { headers: { Accept: "text/html" }, signal: own.signal });
    if (answer.ok) show(new DOMParser().parseFromString(await answer.text(), "text/html"));
    if (answer.ok) history.replaceState(null, "", address);
    unreckoned.hidden = answer.ok;
  } catch {
    if (own.signal.aborted) return; // asked again meanwhile
    unreckoned.hidden = false;
  }
  result.removeAttribute("aria-busy");
}

form.addEventListener("input", event => {
  touched.add(event.target.name);
  clearTimeout(waiting);
  waiting = setTimeout(reckon, 450);
});
