// Bars dragged with mouse, pen or finger.

import { back, hover, lay, lift, lifted, plotOf } from "./programme_air.mjs";
import { blocks, data, panel, root } from "./programme_page.mjs";

const SLACK = 4; // px that a pointer may stray before a press becomes a drag
const EDGE = 32, ROLL = 14; // px from the edge of the window, and by which it is rolled there

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
  if (y < panel.getBoundingClientRect().bottom + EDGE) scrollBy(0, -ROLL);
  else if (y > innerHeight - EDGE) scrollBy(0, ROLL);
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
