// The programme by hand: bars are dragged or moved with keys, the server says what breaks.
// Nothing is computed here: each change is sent, and what comes back is shown. Changes that are
// not kept yet live in this tab until they are kept or undone, also over a reload.

import { fill, restore, sending, undo } from "./programme_edits.mjs";
import { choose } from "./programme_chosen.mjs";
import { root } from "./programme_page.mjs";
import "./programme_keys.mjs";
import "./programme_pointer.mjs";

root.addEventListener("click", (event) => {
  const pick = event.target.closest("[data-visit]");
  if (pick) choose(pick.dataset.visit);
  if (event.target.closest("[data-undo]")) void undo();
});

addEventListener("submit", (event) => {
  if (event.target.matches("form[data-edits]")) sending(event.target);
});

if (location.pathname !== "/programme") history.replaceState(null, "", "/programme");
fill();
await restore();
