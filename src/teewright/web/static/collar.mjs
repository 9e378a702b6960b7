// The page of one collar: the body and its flat pieces point at each other, sizes are tried.
import { Finder, fetchMap, flatOf } from "./collar_map.mjs";

const texts = JSON.parse(document.getElementById("texts")?.textContent ?? "null");
const figure = document.getElementById("solid");
const STEP = 0.005;

/** A value of a quantity as it is written. */
function written(key, value) {
  const { per, digits, unit } = texts.units[key];
  const number = (value * per).toFixed(digits).replace("-", "−");
  return unit ? `${number}\u00a0${unit}` : number;
}

/** The numbers of a triangle, in the line under the drawings. */
function read(map, face) {
  const box = document.getElementById("reading");
  box.querySelector(".none").hidden = face >= 0;
  box.querySelector("dl").hidden = face < 0;
  if (face < 0) return;
  const { piece } = flatOf(map, face);
  for (const cell of box.querySelectorAll("[data-read]")) {
    const key = cell.dataset.read;
    cell.textContent =
      key === "piece" ? texts.pieces[piece.name] ?? piece.name : written(key, map.values[key][face]);
  }
}

class Flat {
  /** One flat piece on the page. */
  constructor(element, map, told) {
    this.piece = map.pieces.find((one) => one.name === element.dataset.piece);
    if (!this.piece) return;
    [this.left, this.low, this.right, this.high] = element.dataset.box.split(" ").map(Number);
    this.sheet = element.querySelector(".sheet-of");
    this.over = element.querySelector(".over");
    this.cursor = element.querySelector(".cursor");
    this.told = told;
    this.at = [(this.left + this.right) / 2, (this.low + this.high) / 2];
    const point = (event) => this.#point(event);
    this.sheet.addEventListener("pointermove", point);
    this.sheet.addEventListener("pointerdown", point);
    this.sheet.addEventListener("keydown", (event) => this.#key(event));
  }

  /** Show a place [m], or nothing. */
  mark(x, y) {
    if (!this.cursor) return;
    this.cursor.setAttribute("visibility", x === undefined ? "hidden" : "visible");
    if (x === undefined) return;
    this.at = [x, y];
    const left = `${(100 * (x - this.left)) / (this.right - this.left)}%`;
    const top = `${(100 * (this.high - y)) / (this.high - this.low)}%`;
    for (const circle of this.cursor.children) {
      circle.setAttribute("cx", left);
      circle.setAttribute("cy", top);
    }
  }

  #point(event) {
    const box = this.over.getBoundingClientRect();
    const x = this.left + ((event.clientX - box.left) / box.width) * (this.right - this.left);
    const y = this.high - ((event.clientY - box.top) / box.height) * (this.high - this.low);
    this.#tell(x, y);
  }

  #key(event) {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const step = way[event.key];
    if (!step) return;
    event.preventDefault();
    const x = Math.min(Math.max(this.at[0] + STEP * step[0], this.left), this.right);
    const y = Math.min(Math.max(this.at[1] + STEP * step[1], this.low), this.high);
    this.at = [x, y];
    this.#tell(x, y);
  }

  #tell(x, y) {
    this.finder ??= new Finder(this.piece);
    const face = this.finder.at(x, y);
    this.told(face);
    if (face >= 0) this.mark(x, y);
  }
}

/** The body, where this browser draws one. */
function solid({ Solid, canvasForBodies }, map, told) {
  const drawn = canvasForBodies();
  if (!drawn) return null;
  const stage = figure.querySelector(".stage");
  stage.hidden = false;
  const words = { least: texts.least, greatest: texts.greatest, write: written };
  let made;
  try {
    made = new Solid(stage, drawn, map, words);
  } catch {
    stage.hidden = true;
    return null;
  }
  figure.querySelector(".still").hidden = true;
  const turns = figure.querySelector(".turn");
  turns.hidden = false;
  turns.addEventListener("click", (event) => {
    const way = event.target.closest("[data-turn]")?.dataset.turn;
    if (way) made.turn(way);
  });
  stage.addEventListener("pointermove", (event) => {
    if (!event.buttons) told(made.under(event.clientX, event.clientY));
  });
  stage.addEventListener("click", (event) => told(made.under(event.clientX, event.clientY)));
  return made;
}

/** The drawn body by quantity: paper shows it, for no body is left once it was painted. */
const stills = new Map();

/** Flat pieces in the colours of a quantity, out of the page that shows it; once. */
async function bring(key, address) {
  const empty = [...document.querySelectorAll(`.flat .map-${key}:empty`)];
  if (!empty.length) return;
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const place of empty) {
    const piece = CSS.escape(place.closest("[data-piece]").dataset.piece);
    place.replaceChildren(...page.querySelector(`[data-piece="${piece}"] .map-${key}`).childNodes);
  }
  stills.set(key, [...page.querySelector(".still").childNodes]);
}

/** Other quantities without a new page, where the body can be painted anew. */
function tabs(paint) {
  const links = [...document.querySelectorAll(".maps [data-map]")];
  const still = figure.querySelector(".still");
  stills.set(figure.dataset.key, [...still.childNodes]);
  let wanted = "";
  for (const link of links) {
    link.addEventListener("click", async (event) => {
      event.preventDefault();
      const key = link.dataset.map;
      wanted = key;
      try {
        await bring(key, link.href);
      } catch {
        location.assign(link.href); // the browser tells why it does not come
        return;
      }
      if (wanted !== key) return;
      for (const other of links) other.toggleAttribute("aria-current", other === link);
      link.setAttribute("aria-current", "true");
      for (const each of links.map((one) => one.dataset.map)) {
        for (const part of document.querySelectorAll(`.map-${each}`)) part.hidden = each !== key;
      }
      paint(key);
      still.replaceChildren(...stills.get(key));
      const address = new URL(location.href);
      address.searchParams.set("map", key);
      history.replaceState(null, "", address);
    });
  }
}

async function linked() {
  const [map, bodies] = await Promise.all([
    fetchMap(figure.dataset.map),
    import("./collar3d.mjs"),
  ]);
  const flats = [];
  let body = null;
  const told = (face) => {
    body?.point(face);
    read(map, face);
    const on = face >= 0 ? flatOf(map, face) : null;
    for (const flat of flats) {
      if (on && flat.piece === on.piece) flat.mark(on.x, on.y);
      else flat.mark();
    }
  };
  for (const element of document.querySelectorAll("[data-piece]")) {
    flats.push(new Flat(element, map, told));
  }
  body = solid(bodies, map, told);
  if (!body) {
    figure.querySelector(".still-note").hidden = false;
    figure.dataset.state = "still";
    return;
  }
  body.paint(figure.dataset.key);
  tabs((key) => body.paint(key));
  figure.dataset.state = "body";
}

/** Sizes beside their sliders, and the address: a reload shows the same. */
function sizes() {
  const form = document.getElementById("wish");
  if (!form) return;
  const us = document.body.dataset.units === "us";
  const words = (input, unit) => {
    if (unit === "deg") return `${input.value.replace("-", "−")}°`;
    const value = us ? (input.value / 25.4).toFixed(2) : input.value;
    return `${value.replace("-", "−")}\u00a0${us ? "in" : "mm"}`;
  };
  form.addEventListener("input", (event) => {
    const output = event.target.closest(".size")?.querySelector("output");
    if (output) output.textContent = words(event.target, output.dataset.unit);
    const address = new URL(location.href);
    for (const input of form.querySelectorAll("input[type=range]")) {
      if (input.value === String(Number(input.dataset.known))) address.searchParams.delete(input.name);
      else address.searchParams.set(input.name, input.value);
    }
    const keep = form.querySelector("[name=keep]");
    if (keep?.checked) address.searchParams.set("keep", "yes");
    else address.searchParams.delete("keep");
    history.replaceState(null, "", address);
  });
}

sizes();
if (figure) linked();
