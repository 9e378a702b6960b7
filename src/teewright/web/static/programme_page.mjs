// What the page holds: its parts, its texts, the programme that is drawn, and who is told what.

/**
 * @typedef {{crew: string, day: string, mix: number, length: number, fixed: boolean,
 *   begun: boolean, said: string, clock: string, closed: number[][]}} Visit
 * @typedef {{connection: string, crew?: string, day?: string, mix?: string|null,
 *   fixed?: boolean}} Edit
 */

const texts = JSON.parse(document.getElementById("texts").textContent);
const aloud = document.getElementById("aloud");

export const root = document.getElementById("programme");
export const panel = document.getElementById("chosen");

/** Whether the reader may only look: who may not move a collar is offered nothing to move it with. */
export const looks = "looks" in panel.dataset;

/** The programme as it is drawn, with the changes that are not kept. */
export let data = read();

/** What is drawn has been replaced. */
export function readAgain() {
  data = read();
}

function read() {
  return JSON.parse(document.getElementById("data").textContent);
}

/** A text of the catalogue. */
export const say = (key, values = {}) =>
  (texts[key] ?? key).replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");

/** Tell the reader, also one who only hears. */
export function tell(text) {
  aloud.textContent = text;
}

export const bar = (id) => root.querySelector(`.bar[data-visit="${CSS.escape(id)}"]`);
export const blocks = () => [...root.querySelectorAll(".drawing .crew-day")];

/** What a programme breaks, or that it keeps every rule; first what is about one collar. */
export function judged(breaches, id) {
  const n = breaches.length;
  if (!n) return say("sound");
  const first = breaches.find((b) => b.about.includes(id)) ?? breaches[0];
  return say(n === 1 ? "broken_one" : "broken", { n, first: first.text });
}
