// The strip of a run and its list are one: what is chosen in one is chosen in the other.

import { decide, forPage } from "./decide.mjs";

const here = document.querySelector("[data-here]")?.dataset.here ?? location.pathname;
const items = [...document.querySelectorAll(".list > li[data-id]")];
const drawn = [...document.querySelectorAll(".strip .c")];

/** @returns {HTMLElement | undefined} */
const chosen = () => items.find((item) => item.classList.contains("open"));

/** @param {HTMLElement} item @param {{scroll?: boolean, focus?: boolean, told?: boolean}} [how] */
function choose(item, { scroll = true, focus = false, told = true } = {}) {
  for (const other of items) {
    other.classList.toggle("open", other === item);
    const link = other.querySelector("a.id");
    if (other === item) link.setAttribute("aria-current", "true");
    else link.removeAttribute("aria-current");
  }
  for (const mark of drawn) mark.classList.toggle("chosen", mark.dataset.id === item.dataset.id);
  if (told) history.replaceState(null, "", `#${item.id}`);
  if (focus) item.querySelector("a.id").focus({ preventScroll: true });
  if (scroll) item.scrollIntoView({ block: "nearest" });
}

function step(by) {
  if (!items.length) return;
  const at = items.indexOf(chosen());
  const next = at < 0 ? 0 : Math.min(Math.max(at + by, 0), items.length - 1);
  choose(items[next], { focus: true });
}

function nextFinding() {
  const at = items.indexOf(chosen());
  const after = [...items.slice(at + 1), ...items.slice(0, at + 1)];
  const found = after.find((item) => item.classList.contains("has"));
  if (found) choose(found, { focus: true });
}

for (const mark of drawn) {
  mark.addEventListener("click", (event) => {
    event.preventDefault();
    const item = items.find((one) => one.dataset.id === mark.dataset.id);
    if (item) choose(item);
  });
}
for (const item of items) {
  item.querySelector("a.id").addEventListener("click", (event) => {
    event.preventDefault();
    choose(item, { focus: true });
  });
  item.querySelector(".choose")?.addEventListener("submit", (event) => {
    event.preventDefault();
    const key = event.submitter?.dataset.key;
    if (key) decide(item.dataset.id, key, `${here}#${item.id}`);
  });
}

document.addEventListener("keydown", (event) => {
  if (!forPage(event)) return;
  const key = event.key.toLowerCase();
  const item = chosen();
  if (key === "j") step(1);
  else if (key === "k") step(-1);
  else if (key === "f") nextFinding();
  else if (key === "z") document.querySelector("#undo")?.requestSubmit();
  else if ("srlcv".includes(key) && key.length === 1 && item) {
    decide(item.dataset.id, key, `${here}#${item.id}`);
  } else if (event.key === "Enter" && item && event.target.closest("a.id, body") !== null) {
    if (event.target.closest("a:not(.id), button, summary")) return;
    item.querySelector("a.act")?.click();
  } else return;
  event.preventDefault();
});

const wanted = decodeURIComponent(location.hash.slice(1));
const refused = document.querySelector(".list .bad")?.closest("li");
const first = refused ?? items.find((item) => item.id === wanted) ?? items[0];
// a fragment in the address would take the focus from the field that is refused, and the key Tab
// past the head of the page
if (first) choose(first, { scroll: Boolean(refused || wanted), told: false });
refused?.querySelector(".bad input, .bad select")?.focus();
