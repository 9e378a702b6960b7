// The list of needs, decided by keys. What fits on one page is sorted and filtered where it stands;
// a longer list comes in sheets, which the server sorts and filters.

import { decide, forPage, post, said, texts } from "./decide.mjs";

const body = document.querySelector(".needs tbody");
const heads = [...document.querySelectorAll(".needs thead button")];
const find = document.getElementById("find");
const filters = [...document.querySelectorAll("[data-filter]")];
const shown = document.getElementById("shown");
const none = document.getElementById("none");
const panel = document.getElementById("chosen");
const inSheets = body?.closest("[data-sheets]") != null;
const ways = { prev: "last", next: "first" };
const NUMBERS = new Set(["order", "need", "entry", "chainage", "clock", "size"]);
const GREATEST_FIRST = new Set(["entry"]);
const compare = new Intl.Collator(undefined, { numeric: true }).compare;

const state = { sort: "order", down: false, need: "", words: "", at: "", sheet: "" };
const asked = new URLSearchParams(location.search);
for (const name of Object.keys(state)) {
  if (asked.has(name)) state[name] = name === "down" ? asked.get(name) === "1" : asked.get(name);
}

let rows = body ? [...body.rows] : [];
const words = new WeakMap();

/** Words of a row, in which is searched. */
function told(row) {
  let found = words.get(row);
  if (found === undefined) {
    found = row.textContent.toLowerCase();
    words.set(row, found);
  }
  return found;
}

function keep() {
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(state)) {
    if (value && !(name === "sort" && value === "order")) query.set(name, value === true ? "1" : value);
  }
  const text = query.toString();
  history.replaceState(null, "", text ? `?${text}` : location.pathname);
  const back = document.querySelector("#undo [name=back]");
  if (back) back.value = text ? `${location.pathname}?${text}` : location.pathname;
}

function sort() {
  const { sort: column, down } = state;
  const cell = { reason: ".why", seen: ".seen" }[column];
  const key = NUMBERS.has(column)
    ? (row) => Number(row.dataset[column])
    : (row) => row.querySelector(cell).textContent;
  const keyed = rows.map((row) => [key(row), Number(row.dataset.order), row]);
  const way = down ? -1 : 1;
  keyed.sort(([a, i], [b, j]) => {
    const order = typeof a === "number" ? a - b : compare(a, b);
    return order ? way * order : i - j;
  });
  rows = keyed.map(([, , row]) => row);
  body.append(...rows);
  for (const head of heads) {
    const th = head.closest("th");
    if (head.dataset.sort === column) th.setAttribute("aria-sort", down ? "descending" : "ascending");
    else th.removeAttribute("aria-sort");
  }
}

function filter() {
  const parts = state.words.toLowerCase().split(/\s+/).filter(Boolean);
  let count = 0;
  for (const row of rows) {
    const fits =
      (!state.need || row.dataset.need === state.need) &&
      parts.every((part) => told(row).includes(part));
    row.hidden = !fits;
    if (fits) count += 1;
  }
  shown.textContent = said(count === 1 ? texts.shown_one : texts.shown, { n: count });
  none.hidden = count > 0;
  for (const button of filters) {
    button.setAttribute("aria-pressed", String(button.dataset.filter === state.need));
  }
}

const current = () => rows.find((row) => row.hasAttribute("aria-current"));

/** @param {HTMLTableRowElement | undefined} row */
function choose(row, { focus = true } = {}) {
  current()?.removeAttribute("aria-current");
  panel.hidden = !row;
  state.at = row?.dataset.id ?? "";
  keep();
  if (!row) return;
  row.setAttribute("aria-current", "true");
  panel.querySelector(".who b").textContent = row.dataset.id;
  panel.querySelector(".who span").textContent = row.querySelector(".why").textContent;
  for (const button of panel.querySelectorAll("[data-key]")) {
    button.setAttribute("aria-pressed", String(button.dataset.key === row.dataset.need));
  }
  panel.querySelector("a.run").href = row.querySelector("th a").href;
  const collar = row.querySelector(".to-collar");
  panel.querySelector("a.collar").hidden = !collar;
  if (collar) panel.querySelector("a.collar").href = collar.href;
  if (focus) row.querySelector("th a").focus({ preventScroll: true });
  row.scrollIntoView({ block: "nearest" });
}

function step(by) {
  const seen = rows.filter((row) => !row.hidden);
  if (!seen.length) return;
  const at = seen.indexOf(current());
  const to = at < 0 ? 0 : at + by;
  if (seen[to]) choose(seen[to]);
  else turn(to < 0 ? "prev" : "next");
}

/** Go on where the next or the previous sheet begins. @param {"prev" | "next"} way */
function turn(way) {
  const link = document.querySelector(`.pager [rel=${way}]`);
  if (!link) return;
  const address = new URL(link.href);
  address.searchParams.set("at", ways[way]);
  location.assign(address);
}

/** The row that the address names. */
function named() {
  if (inSheets && state.at === ways.next) return rows[0];
  if (inSheets && state.at === ways.prev) return rows.at(-1);
  return rows.find((one) => one.dataset.id === state.at && !one.hidden);
}

function settle(key) {
  const row = current();
  if (!row) return;
  decide(row.dataset.id, key, location.pathname + location.search, (answer) => {
    const made = document.createElement("tbody");
    made.innerHTML = answer.row;
    const fresh = made.rows[0];
    rows[rows.indexOf(row)] = fresh;
    row.replaceWith(fresh);
    document.getElementById("answer").textContent = answer.answer;
    for (const button of filters) {
      const count = answer.counts[button.dataset.filter];
      if (count !== undefined) button.querySelector("span").textContent = count;
    }
    choose(fresh);
    shown.textContent = said(texts.kept, {
      connection: fresh.dataset.id,
      need: fresh.querySelector(".need b").textContent,
    });
    document.getElementById("undo-place").innerHTML = answer.undo;
    watchUndo();
  });
}

function watchUndo() {
  document.getElementById("undo")?.addEventListener("submit", (event) => {
    event.preventDefault();
    undo();
  });
}

async function undo() {
  if (!document.getElementById("undo")) return;
  keep();
  const problem = await post("/survey/corrections/undo", {}, () => location.reload());
  if (problem) shown.textContent = said(texts.failed, { said: problem });
}

/** Sort and filter without asking the server. */
function inPlace() {
  for (const head of heads) {
    head.addEventListener("click", () => {
      const column = head.dataset.sort;
      const same = state.sort === column;
      state.down = same ? !state.down : GREATEST_FIRST.has(column);
      state.sort = column;
      sort();
      keep();
    });
  }
  for (const button of filters) {
    button.addEventListener("click", () => {
      state.need = button.dataset.filter;
      filter();
      keep();
    });
  }
  find.value = state.words;
  find.addEventListener("input", () => {
    state.words = find.value;
    filter();
    keep();
  });
  if (state.sort !== "order" || state.down) sort();
  else heads[0].closest("th").setAttribute("aria-sort", "ascending");
  filter();
}

if (body) {
  if (!inSheets) inPlace();
  find.addEventListener("keydown", (event) => {
    if (event.key === "ArrowDown" || (event.key === "Enter" && !inSheets)) {
      event.preventDefault();
      step(1);
    }
  });
  body.addEventListener("click", (event) => {
    const row = event.target.closest("tr");
    if (row && !event.target.closest("a")) choose(row, { focus: false });
  });
  body.addEventListener("focusin", (event) => {
    const row = event.target.closest("tr");
    if (row && row !== current()) choose(row, { focus: false });
  });
  for (const button of panel.querySelectorAll("[data-key]")) {
    button.addEventListener("click", () => settle(button.dataset.key));
  }
  watchUndo();
  document.addEventListener("keydown", (event) => {
    if (!forPage(event)) return;
    const key = event.key.toLowerCase();
    if (key === "j") step(1);
    else if (key === "k") step(-1);
    else if (key === "z") undo();
    else if (key === "/") find.focus();
    else if (key.length === 1 && "srlcv".includes(key) && current()) settle(key);
    else if (event.key === "Enter" && current() && !event.target.closest("a, button")) {
      current().querySelector("th a").click();
    } else return;
    event.preventDefault();
  });
  const row = named();
  if (row) choose(row);
  document.documentElement.dataset.ready = "yes";
}
