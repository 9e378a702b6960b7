// A bar in the air, taken up by pointer or key: held over a shift, laid down or put back.

import { choose } from "./programme_chosen.mjs";
import { move, tried } from "./programme_edits.mjs";
import { bar, blocks, data, judged, looks, root, say, tell } from "./programme_page.mjs";
import { clock, moment, stepped, where } from "./programme_times.mjs";

const ghost = document.getElementById("ghost");
const SVG = "http://www.w3.org/2000/svg";
const LEAST = 60; // px that a bar in the air is wide at least

/** What is in the air, or null. */
export let lifted = null;

export const plotOf = (block) => block.querySelector(".plot").getBoundingClientRect();
const blockOf = (crew, day) => blocks().find((b) => b.dataset.crew === crew && b.dataset.day === day);

/** Take a collar up. */
export function lift(id, byKey) {
  const visit = data.visits[id];
  if (looks || visit.begun) {
    tell(say(looks ? "looks" : "cannot", { what: id }));
    return false;
  }
  lifted = { id, byKey, mix: visit.mix, crew: visit.crew, day: visit.day, block: null, asked: "" };
  bar(id)?.classList.add("lifted");
  ghost.hidden = false;
  hover(blockOf(visit.crew, visit.day), visit.mix);
  tell(byKey ? taken(lifted) : say("held", where(lifted)));
  return true;
}

/** Hold it over a block at a time. */
export function hover(block, mix) {
  if (!block) return;
  const first = Math.ceil(data.low / data.step) * data.step;
  lifted.mix = Math.min(Math.max(stepped(mix), first), data.high - data.step);
  Object.assign(lifted, { crew: block.dataset.crew, day: block.dataset.day });
  float(block);
  if (lifted.block !== block) {
    unmark();
    lifted.block = block;
    block.classList.add("over");
    shade(block, data.visits[lifted.id].closed);
  }
  void live();
}

function float(block) {
  const plot = plotOf(block), scale = plot.width / (data.high - data.low);
  const width = Math.max(data.visits[lifted.id].length * scale, LEAST);
  const left = Math.min(plot.left + (lifted.mix - data.low) * scale, innerWidth - width - 4);
  ghost.style.width = `${width}px`;
  ghost.style.transform = `translate(${left}px, ${plot.top + 4}px)`;
  ghost.textContent = `${clock(lifted.mix)} ${lifted.id}`;
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
  const said = await expected(at);
  at.asking = false;
  if (lifted !== at) return;
  if (key !== `${at.crew} ${at.day} ${at.mix}`) return live();
  // the answer for the place where it was taken up may come before the keys were heard
  at.first ??= key;
  tell(at.byKey && key === at.first ? taken(at, said) : `${say("held", where(at))}: ${said}`);
}

/** That it was taken up with a key, what breaks where that is known, and what the keys do. */
function taken(at, said = "") {
  return `${say("taken", where(at))}${said && `: ${said}`}. ${say("keys")}`;
}

/** What would become of it here: when it is mixed, for the hands may be full, and what breaks. */
async function expected(at) {
  const edit = { connection: at.id, crew: at.crew, day: at.day, mix: moment(at.day, at.mix) };
  try {
    const { breaches, programme } = await tried(edit);
    const visits = programme.shifts.flatMap((shift) => shift.visits);
    const mixed = visits.find((visit) => visit.connection_id === at.id).mix.slice(11, 16);
    const waits = mixed === clock(at.mix) ? "" : say("waits", { at: mixed });
    return waits + judged(breaches, at.id);
  } catch (error) {
    return error instanceof TypeError ? say("offline") : say("failed", { why: error.message });
  }
}

function put() {
  unmark();
  ghost.hidden = true;
  bar(lifted.id)?.classList.remove("lifted");
  const at = lifted;
  lifted = null;
  return at;
}

/** Lay it down where it is. */
export async function lay() {
  const at = put();
  const visit = data.visits[at.id];
  choose(at.id);
  if (at.crew === visit.crew && at.day === visit.day && at.mix === visit.mix) {
    return tell(say("back", { what: at.id }));
  }
  if (await move(at.id, at.crew, at.day, at.mix)) bar(at.id)?.focus({ preventScroll: true });
}

/** Put it back where it was. */
export function back() {
  tell(say("back", { what: put().id }));
}
