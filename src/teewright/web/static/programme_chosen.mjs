// The chosen collar: what is said of it, and buttons for all that a drag can do.

import { fix, move } from "./programme_edits.mjs";
import { data, looks, panel, root, say } from "./programme_page.mjs";
import { stepped } from "./programme_times.mjs";

const said = document.getElementById("chosen-said");
const name = document.getElementById("chosen-name");
const crew = document.getElementById("to-crew");
const day = document.getElementById("to-day");
const hint = said.innerHTML;
const nothing = name.textContent;

/** Id of the chosen collar, or nothing. */
export let chosen = "";

/** Choose a collar, or none. */
export function choose(id) {
  const visit = data.visits[id] ?? data.unplanned[id];
  chosen = visit ? id : "";
  panel.dataset.chosen = chosen;
  panel.classList.toggle("any", Boolean(chosen));
  for (const mark of root.querySelectorAll("[data-visit]")) {
    mark.setAttribute("aria-pressed", String(mark.dataset.visit === chosen));
  }
  name.textContent = chosen || nothing;
  if (visit) said.textContent = visit.begun && !looks ? `${visit.said}. ${say("begun")}` : visit.said;
  else said.innerHTML = hint;
  panel.querySelector(".links").hidden = !chosen;
  if (chosen) link(visit);
  if (looks) return;
  if (chosen) furnish(visit);
  else for (const control of controls()) control.disabled = true;
}

const controls = () => panel.querySelectorAll("button:not([data-close]), select");

function furnish(visit) {
  const planned = chosen in data.visits;
  crew.replaceChildren(...data.crews.map((n) => new Option(n, n, false, n === visit.crew)));
  day.replaceChildren(...data.days.map((d) => new Option(d.said, d.day, false, d.day === visit.day)));
  for (const control of controls()) control.disabled = Boolean(visit.begun);
  const placed = "[data-by], [data-fix], [data-there=same]";
  for (const control of panel.querySelectorAll(placed)) control.disabled ||= !planned;
  panel.querySelector("[data-fix]").textContent = say(visit.fixed ? "unfix" : "fix");
}

/** Where to read more of the chosen collar. */
function link(visit) {
  const path = chosen.split("/").map(encodeURIComponent).join("/");
  panel.querySelector("[data-to=collar]").href = `/collars/${path}`;
  panel.querySelector("[data-to=day]").href = `/day/${path}`;
  panel.querySelector("[data-to=clock]").href = visit.clock ?? "/clock";
}

panel.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (!button || !chosen) return;
  const visit = data.visits[chosen];
  if ("close" in button.dataset) return choose("");
  if ("fix" in button.dataset) return void fix(chosen);
  if (button.dataset.by) {
    const mix = stepped(visit.mix + Number(button.dataset.by));
    return void move(chosen, visit.crew, visit.day, mix);
  }
  void move(chosen, crew.value, day.value, button.dataset.there === "last" ? null : visit.mix);
});
