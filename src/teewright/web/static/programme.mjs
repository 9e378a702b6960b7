// The programme by hand: bars are dragged or moved with keys, the server says what breaks.
// Nothing is computed here: each change is sent, and what comes back is shown. Changes that are
// not kept yet live in this tab until they are kept or undone, also over a reload.

const texts = JSON.parse(document.getElementById("texts").textContent);
const root = document.getElementById("programme");
const panel = document.getElementById("chosen");
const ghost = document.getElementById("ghost");
const aloud = document.getElementById("aloud");
const hint = document.getElementById("chosen-said").innerHTML;
const nothing = document.getElementById("chosen-name").textContent;
const STORE = "programme-edits";
const SVG = "http://www.w3.org/2000/svg";
const SLACK = 4; // px that a pointer may stray before a press becomes a drag

/** @typedef {{connection: string, crew?: string, day?: string, mix?: string|null, fixed?: boolean}} Edit */
/** @type {Edit[]} */
let edits = [];
/** Whether they were sent to be kept: then a newer version of the programme holds them. */
let sent = false;
let data = read();
let chosen = "";
/** What is in the air: a bar that was taken up by pointer or key. */
let lifted = null;

function read() {
  return JSON.parse(document.getElementById("data").textContent);
}

const say = (key, values = {}) =>
  (texts[key] ?? key).replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");

// ---- what is not kept yet ----------------------------------------------------------------

function store() {
  if (edits.length) sessionStorage.setItem(STORE, JSON.stringify({ on: data.on, edits, sent }));
  else sessionStorage.removeItem(STORE);
}

async function restore() {
  const kept = JSON.parse(sessionStorage.getItem(STORE) ?? "null");
  if (!kept) return;
  if (kept.sent && kept.on !== data.on) return sessionStorage.removeItem(STORE);
  ({ edits, sent } = kept);
  if (await draw(false) && kept.on !== data.on) tell(say("rebased"));
}

function headers() {
  return { "Content-Type": "application/json", "X-CSRF-Token": document.body.dataset.csrf };
}

async function ask(address, body) {
  const answer = await fetch(address, { method: "POST", headers: headers(), body: JSON.stringify(body) });
  if (answer.ok) return answer;
  let why = answer.statusText;
  try {
    const told = await answer.json();
    why = typeof told.detail === "string" ? told.detail : why;
  } catch { /* no document: its status must do */ }
  throw new Error(why);
}

/** Show the programme with all edits; the last one is taken back where it cannot be. */
async function draw(spoken = true) {
  let answer;
  try {
    answer = await ask("/programme/part", { on: data.on, edits });
  } catch (error) {
    if (error instanceof TypeError) tell(say("offline"));
    else edits.pop();
    store();
    if (!(error instanceof TypeError)) {
      tell(say("failed", { why: error.message }));
    }
    return false;
  }
  const focus = document.activeElement?.dataset?.visit;
  root.innerHTML = await answer.text();
  data = read();
  const standing = root.querySelector(".standing");
  document.getElementById("answer").textContent = standing.dataset.answer;
  root.querySelectorAll("form[data-edits]").forEach(fill);
  store();
  choose(chosen);
  if (focus) bar(focus)?.focus();
  if (spoken) tell("");
  return true;
}

function fill(form) {
  form.elements.edits.value = JSON.stringify({ on: data.on, edits });
}

function tell(text) {
  aloud.textContent = text;
}

// ---- the chosen collar -------------------------------------------------------------------

const bar = (id) => root.querySelector(`.bar[data-visit="${CSS.escape(id)}"]`);

function choose(id) {
  const visit = data.visits[id] ?? data.unplanned[id];
  chosen = visit ? id : "";
  panel.dataset.chosen = chosen;
  panel.classList.toggle("any", Boolean(chosen));
  root.querySelectorAll("[data-visit]").forEach((e) => e.setAttribute("aria-pressed", String(e.dataset.visit === chosen)));
  document.getElementById("chosen-name").textContent = chosen || nothing;
  const said = document.getElementById("chosen-said");
  if (visit) said.textContent = visit.begun ? `${visit.said}. ${say("begun")}` : visit.said;
  else said.innerHTML = hint;
  panel.querySelector(".links").hidden = !chosen;
  if (chosen) furnish(visit);
  else for (const control of controls()) control.disabled = true;
}

const controls = () => panel.querySelectorAll("button:not([data-close]), select");

function furnish(visit) {
  const planned = chosen in data.visits;
  const crew = document.getElementById("to-crew");
  const day = document.getElementById("to-day");
  crew.replaceChildren(...data.crews.map((name) => new Option(name, name, false, name === visit.crew)));
  day.replaceChildren(...data.days.map((d) => new Option(d.said, d.day, false, d.day === visit.day)));
  for (const control of controls()) control.disabled = Boolean(visit.begun);
  for (const step of panel.querySelectorAll("[data-by], [data-fix], [data-there=same]")) step.disabled ||= !planned;
  panel.querySelector("[data-fix]").textContent = say(visit.fixed ? "unfix" : "fix");
  const path = chosen.split("/").map(encodeURIComponent).join("/");
  panel.querySelector("[data-to=collar]").href = `/collars/${path}`;
  panel.querySelector("[data-to=day]").href = `/day/${path}`;
  panel.querySelector("[data-to=clock]").href = visit.clock ?? "/clock";
}

/** Local time of a moment of a shift, and how a reader says it. */
function moment(day, seconds) {
  const [h, m, s] = data.start.split(":").map(Number);
  const [year, month, date] = day.split("-").map(Number);
  const at = new Date(Date.UTC(year, month - 1, date, h, m, s + seconds));
  return at.toISOString().slice(0, 19);
}
const clock = (seconds) => moment("2000-01-01", seconds).slice(11, 16);
const dayName = (day) => data.days.find((d) => d.day === day)?.said ?? day;

/** To the next whole step of the clock. */
function stepped(seconds) {
  const [h, m, s] = data.start.split(":").map(Number);
  const start = h * 3600 + m * 60 + s;
  return Math.round((start + seconds) / data.step) * data.step - start;
}

function moveEdit(id, crew, day, mix) {
  return { connection: id, crew, day, mix: mix === null ? null : moment(day, mix) };
}

async function change(edit) {
  sent = false;
  edits.push(edit);
  return draw();
}

async function fix(id) {
  const visit = data.visits[id];
  if (!visit) return;
  if (visit.begun) return tell(say("cannot", { what: id }));
  await change({ connection: id, fixed: !visit.fixed });
}

panel.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (!button || !chosen) return;
  const visit = data.visits[chosen];
  if ("close" in button.dataset) return choose("");
  if ("fix" in button.dataset) return void fix(chosen);
  if (button.dataset.by) {
    const mix = stepped(visit.mix + Number(button.dataset.by));
    return void change(moveEdit(chosen, visit.crew, visit.day, mix));
  }
  const crew = document.getElementById("to-crew").value;
  const day = document.getElementById("to-day").value;
  void change(moveEdit(chosen, crew, day, button.dataset.there === "last" ? null : visit.mix));
});

// ---- in the air --------------------------------------------------------------------------

const plotOf = (block) => block.querySelector(".plot").getBoundingClientRect();
const blocks = () => [...root.querySelectorAll(".drawing .crew-day")];
const blockOf = (crew, day) => blocks().find((b) => b.dataset.crew === crew && b.dataset.day === day);

function lift(id, byKey) {
  const visit = data.visits[id];
  if (visit.begun) {
    tell(say("cannot", { what: id }));
    return false;
  }
  lifted = { id, byKey, mix: visit.mix, crew: visit.crew, day: visit.day, block: null, asked: "" };
  bar(id)?.classList.add("lifted");
  ghost.hidden = false;
  hover(blockOf(visit.crew, visit.day), visit.mix);
  tell(say(byKey ? "taken" : "held", where(lifted)));
  return true;
}

const where = (at) => ({ what: at.id, at: clock(at.mix), crew: at.crew, day: dayName(at.day) });

/** Hold the bar over a block at a time. */
function hover(block, mix) {
  if (!block) return;
  const plot = plotOf(block);
  const visit = data.visits[lifted.id];
  const most = data.high - data.step;
  lifted.mix = Math.min(Math.max(stepped(mix), Math.ceil(data.low / data.step) * data.step), most);
  Object.assign(lifted, { crew: block.dataset.crew, day: block.dataset.day });
  const width = (visit.length / (data.high - data.low)) * plot.width;
  const left = plot.left + ((lifted.mix - data.low) / (data.high - data.low)) * plot.width;
  ghost.style.width = `${Math.max(width, 60)}px`;
  ghost.style.transform = `translate(${Math.min(left, innerWidth - Math.max(width, 60) - 4)}px, ${plot.top + 4}px)`;
  ghost.textContent = `${clock(lifted.mix)} ${lifted.id}`;
  if (lifted.block !== block) {
    unmark();
    lifted.block = block;
    block.classList.add("over");
    shade(block, visit.closed);
  }
  void live();
}

/** Hatch where the collar in the air may not be set. */
function shade(block, closed) {
  const svg = block.querySelector(".plot");
  for (const [place, width] of closed) {
    const rect = document.createElementNS(SVG, "rect");
    rect.setAttribute("class", "ground closing");
    rect.setAttribute("x", `${place}%`);
    rect.setAttribute("width", `${width}%`);
    rect.setAttribute("y", "0");
    rect.setAttribute("height", svg.getAttribute("height"));
    svg.prepend(rect);
  }
}

function unmark() {
  root.querySelectorAll(".closing").forEach((e) => e.remove());
  root.querySelectorAll(".crew-day.over").forEach((e) => e.classList.remove("over"));
}

/** Ask what would break here; one question at a time, the last place counts. */
async function live() {
  const at = lifted;
  const key = `${at.crew} ${at.day} ${at.mix}`;
  if (at.asked === key || at.asking) return;
  Object.assign(at, { asked: key, asking: true });
  let said;
  try {
    const edit = moveEdit(at.id, at.crew, at.day, at.mix);
    const answer = await ask("/api/v1/programme/try", { on: data.on, edits: [...edits, edit] });
    const { breaches, programme } = await answer.json();
    const first = breaches.find((b) => b.about.includes(at.id)) ?? breaches[0];
    const n = breaches.length;
    const mixed = mixedAt(programme, at.id);
    const waits = mixed === clock(at.mix) ? "" : say("waits", { at: mixed });
    said = waits + (n ? say(n === 1 ? "broken_one" : "broken", { n, first: first.text }) : say("sound"));
  } catch (error) {
    said = say("failed", { why: error.message });
  }
  at.asking = false;
  if (lifted !== at) return;
  if (key === `${at.crew} ${at.day} ${at.mix}`) tell(`${say("held", where(at))}: ${said}`);
  else void live();
}

/** When a collar is mixed in a programme: not before the crew's hands are free. */
function mixedAt(programme, id) {
  const visits = programme.shifts.flatMap((shift) => shift.visits);
  return visits.find((visit) => visit.connection_id === id).mix.slice(11, 16);
}

function put() {
  unmark();
  ghost.hidden = true;
  bar(lifted.id)?.classList.remove("lifted");
  const at = lifted;
  lifted = null;
  return at;
}

async function lay() {
  const at = put();
  const visit = data.visits[at.id];
  choose(at.id);
  if (at.crew === visit.crew && at.day === visit.day && at.mix === visit.mix) {
    return tell(say("back", { what: at.id }));
  }
  if (await change(moveEdit(at.id, at.crew, at.day, at.mix))) {
    bar(at.id)?.focus({ preventScroll: true });
    tell(say("laid", where({ ...at, mix: data.visits[at.id].mix })));
  }
}

function back() {
  const at = put();
  tell(say("back", { what: at.id }));
}

// ---- pointer -----------------------------------------------------------------------------

let press = null;

root.addEventListener("pointerdown", (event) => {
  const at = event.target.closest(".bar");
  if (!at || event.button !== 0 || lifted) return;
  press = { id: at.dataset.visit, x: event.clientX, y: event.clientY, pointer: event.pointerId };
});

addEventListener("pointermove", (event) => {
  if (!press || event.pointerId !== press.pointer) return;
  const far = Math.hypot(event.clientX - press.x, event.clientY - press.y);
  if (!lifted && far < SLACK) return;
  if (!lifted && !lift(press.id, false)) return void (press = null);
  event.preventDefault();
  roll(event.clientY);
  const under = blocks().find((b) => {
    const box = b.getBoundingClientRect();
    return event.clientY >= box.top && event.clientY < box.bottom;
  });
  const block = under ?? lifted.block;
  const scale = (data.high - data.low) / plotOf(block).width;
  hover(block, data.visits[press.id].mix + (event.clientX - press.x) * scale);
});

/** Go on to days beyond the edge of the window. */
function roll(y) {
  if (y < panel.getBoundingClientRect().bottom + 24) scrollBy(0, -14);
  else if (y > innerHeight - 40) scrollBy(0, 14);
}

addEventListener("pointerup", (event) => {
  if (!press || event.pointerId !== press.pointer) return;
  press = null;
  if (lifted && !lifted.byKey) void lay();
});

addEventListener("pointercancel", () => {
  press = null;
  if (lifted && !lifted.byKey) back();
});

root.addEventListener("click", (event) => {
  const pick = event.target.closest("[data-visit]");
  if (pick) choose(pick.dataset.visit);
  if (event.target.closest("[data-undo]")) {
    edits.pop();
    void draw();
  }
});

root.addEventListener("submit", (event) => {
  if (!event.target.matches("form[data-edits]")) return;
  fill(event.target);
  sent = true;
  store();
});

// ---- keys --------------------------------------------------------------------------------

addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  const at = document.activeElement?.closest?.(".bar");
  if (event.key === "Escape" && lifted) return stop(event, back);
  if (!at) return;
  if (event.key === "Enter" || event.key === " ") {
    return stop(event, () => (lifted ? lay() : (choose(at.dataset.visit), lift(at.dataset.visit, true))));
  }
  if (event.key === "f" || event.key === "F") {
    return stop(event, () => (choose(at.dataset.visit), fix(at.dataset.visit)));
  }
  const arrow = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
  if (arrow) stop(event, () => (lifted ? carry(arrow) : walk(at, arrow)));
});

function stop(event, act) {
  event.preventDefault();
  void act();
}

function carry([along, across]) {
  if (along) return hover(lifted.block, lifted.mix + along * data.step);
  const all = blocks();
  const next = all[all.indexOf(lifted.block) + across];
  if (!next) return;
  next.scrollIntoView({ block: "nearest" });
  hover(next, lifted.mix);
}

/** To the next bar in time, or to the nearest one of the block above or below. */
function walk(at, [along, across]) {
  const bars = [...root.querySelectorAll(".drawing .bar")];
  const begin = (b) => data.visits[b.dataset.visit].mix;
  const block = at.closest(".crew-day");
  let next;
  if (along) {
    const own = bars.filter((b) => b.closest(".crew-day") === block).sort((a, b) => begin(a) - begin(b));
    next = own[own.indexOf(at) + along];
  } else {
    const full = blocks().filter((b) => b.querySelector(".bar"));
    const other = full[full.indexOf(block) + across];
    const near = bars.filter((b) => other && b.closest(".crew-day") === other);
    next = near.sort((a, b) => Math.abs(begin(a) - begin(at)) - Math.abs(begin(b) - begin(at)))[0];
  }
  next?.focus();
}

root.querySelectorAll("form[data-edits]").forEach(fill);
await restore();
