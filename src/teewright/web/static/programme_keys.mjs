// Bars moved with keys: Enter takes up and lays down, arrows move, Escape puts back, F fixes.

import { back, hover, lay, lift, lifted } from "./programme_air.mjs";
import { choose } from "./programme_chosen.mjs";
import { fix } from "./programme_edits.mjs";
import { blocks, data, root } from "./programme_page.mjs";

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const FAR = 6; // steps at once with Shift

addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  if (event.key === "Escape" && lifted) return stop(event, back);
  const at = document.activeElement?.closest?.(".bar");
  if (!at) return;
  const act = acts(at, event);
  if (act) stop(event, act);
});

/** What a key does at a bar, or nothing. */
function acts(at, event) {
  const id = at.dataset.visit, arrow = ARROWS[event.key];
  if (event.key === "Enter" || event.key === " ") return lifted ? lay : () => take(id);
  if (event.key === "f" || event.key === "F") return () => (choose(id), fix(id));
  if (arrow) return () => (lifted ? carry(arrow, event.shiftKey ? FAR : 1) : walk(at, arrow));
  return null;
}

function stop(event, act) {
  event.preventDefault();
  void act();
}

function take(id) {
  choose(id);
  lift(id, true);
}

function carry([along, across], steps) {
  if (along) return hover(lifted.block, lifted.mix + along * steps * data.step);
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

// what was taken up with a key is not left hanging when the reader goes elsewhere
root.addEventListener("focusout", (event) => {
  if (lifted?.byKey && event.relatedTarget) back();
});
