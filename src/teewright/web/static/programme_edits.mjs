// Changes that are not kept yet: tried on the server, shown, stored in this tab.

import { choose, chosen } from "./programme_chosen.mjs";
import { bar, data, judged, looks, readAgain, root, say, tell } from "./programme_page.mjs";
import { moment, where } from "./programme_times.mjs";

const STORE = "programme-edits";
const CONFLICT = 409;

/** @type {import("./programme_page.mjs").Edit[]} */
let edits = [];
/** Whether they were sent to be kept: then a newer version of the programme holds them. */
let sent = false;

function store() {
  if (edits.length) sessionStorage.setItem(STORE, JSON.stringify({ on: data.on, edits, sent }));
  else sessionStorage.removeItem(STORE);
}

/** Show again what was not kept when the page was left. */
export async function restore() {
  const kept = JSON.parse(sessionStorage.getItem(STORE) ?? "null");
  if (!kept || looks) return;
  const newer = kept.on !== data.on;
  if (kept.sent && newer && !data.refused) return sessionStorage.removeItem(STORE);
  edits = kept.edits;
  sent = kept.sent && !newer && !data.refused; // what is being planned has no version yet
  if (await draw() && newer) tell(say("rebased"));
}

/** Ask the server; what it refuses is thrown with its own sentence. */
export async function ask(address, body) {
  const headers = { "Content-Type": "application/json", "X-CSRF-Token": document.body.dataset.csrf };
  const answer = await fetch(address, { method: "POST", headers, body: JSON.stringify(body) });
  if (answer.ok) return answer;
  let why = answer.statusText;
  try {
    const told = await answer.json();
    why = typeof told.detail === "string" ? told.detail : why;
  } catch { /* no document: its status must do */ }
  throw Object.assign(new Error(why), { status: answer.status });
}

/** What would become of the programme with one more change. */
export async function tried(edit) {
  const answer = await ask("/api/v1/programme/try", { on: data.on, edits: [...edits, edit] });
  return answer.json();
}

/** Show the programme with all edits; the last one is taken back where it cannot be. */
async function draw() {
  let answer;
  try {
    answer = await ask("/programme/part", { on: data.on, edits });
  } catch (error) {
    refused(error);
    return false;
  }
  const focus = document.activeElement?.dataset?.visit;
  root.innerHTML = await answer.text();
  readAgain();
  document.getElementById("answer").textContent = root.querySelector(".standing").dataset.answer;
  document.getElementById("act").replaceChildren(document.getElementById("next-act").content);
  fill();
  store();
  choose(chosen);
  if (focus) bar(focus)?.focus();
  return true;
}

function refused(error) {
  if (error.status === CONFLICT) {
    store();
    return location.reload(); // the newest is shown, and the edits are tried on it
  }
  if (!(error instanceof TypeError)) edits.pop();
  store();
  tell(error instanceof TypeError ? say("offline") : say("failed", { why: error.message }));
}

/** Each form that sends the edits holds them. */
export function fill() {
  const held = JSON.stringify({ on: data.on, edits });
  for (const form of document.querySelectorAll("form[data-edits]")) form.elements.edits.value = held;
}

/** A form is about to send them. */
export function sending() {
  fill();
  sent = true;
  store();
}

async function change(edit) {
  sent = false;
  edits.push(edit);
  return draw();
}

/** Move a collar, and say where it lies and what that breaks. */
export async function move(id, crew, day, mix) {
  const at = mix === null ? null : moment(day, mix);
  if (!await change({ connection: id, crew, day, mix: at })) return false;
  const laid = data.visits[id];
  tell(`${say("laid", where({ id, ...laid }))}: ${judged(data.breaches, id)}`);
  return true;
}

/** Fix a collar where it is, or let it go. */
export async function fix(id) {
  const visit = data.visits[id];
  if (!visit) return;
  if (looks) return tell(say("looks"));
  if (visit.begun) return tell(say("cannot", { what: id }));
  const fixed = !visit.fixed;
  if (await change({ connection: id, fixed })) tell(say(fixed ? "fixed" : "loose", { what: id }));
}

/** Take the last change back. */
export async function undo() {
  edits.pop();
  if (await draw()) tell(say("undone"));
}
