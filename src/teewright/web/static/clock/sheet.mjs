// The night sheet of one installation: next action, three times, bar, log, and the other acts.

import { perform } from "./acts.mjs";
import { mayDo } from "./allowed.mjs";
import { timeBar } from "./bar.mjs";
import { batchField } from "./dialogs.mjs";
import { button, h, say } from "./dom.mjs";
import { figures } from "./figures.mjs";
import { numberField } from "./keypad.mjs";
import { lines } from "./loglines.mjs";
import { steps, value } from "./state.mjs";
import { t } from "./texts.mjs";
import { units } from "./units.mjs";

/** How long the next button waits, so that a second tap does not log the next step [ms]. */
const BOUNCE = 1200;
const HOLD = 2000;
const SHOWN = 3;

export class Sheet {
  /**
   * @param {import("./main.mjs").App} app
   * @param {string} installation
   */
  constructor(app, installation) {
    this.app = app;
    this.installation = installation;
    this.element = h("article", { className: "sheet-of", "aria-label": installation });
    this.structure = "";
    this.all = false;
    this.ready = 0;
    this.busy = false;
    this.pressed = false; // a part that is replaced under a finger would lose its press
    this.element.addEventListener("pointerdown", () => {
      this.pressed = true;
    });
    for (const name of ["pointerup", "pointercancel"]) {
      addEventListener(name, () => setTimeout(() => (this.pressed = false)));
    }
  }

  /** Bring the sheet up to date; it is built anew only where its parts changed. `beside` another. */
  draw({ beside = false } = {}) {
    const view = this.app.view(this.installation);
    if (!this.app.book.plan) {
      this.#build("empty", () => [h(beside ? "h2" : "h1", { className: "title" }, this.installation), h("p", {}, t("clock.loading"))]);
      return;
    }
    if (!view.collar) {
      this.#build(`unknown ${beside}`, () => [h(beside ? "h2" : "h1", { className: "title" }, this.installation), h("p", {}, t("clock.list.not_in_plan"))]);
      return;
    }
    const log = lines(view.own, view.refused, view.at);
    const { key, label, more, caution } = view.todo;
    const shape = [key, label, more, caution, log, view.warns, this.all, view.top, beside, units(), this.app.book.plan.logs];
    this.heading = beside ? "h2" : "h1"; // one heading of the page: that of the sheet it names
    this.#build(JSON.stringify(shape), () => this.#parts(view, log));
    this.#update(view);
  }

  #build(structure, make) {
    if (structure === this.structure || (this.pressed && this.structure)) return;
    this.structure = structure;
    const focused = this.element.contains(document.activeElement) ? document.activeElement.dataset.key : null;
    this.element.replaceChildren(...make().filter(Boolean));
    if (focused) this.element.querySelector(`[data-key="${focused}"]`)?.focus();
  }

  #parts(view, log) {
    this.parts = {};
    return [
      this.#top(view), this.#next(view), this.#typed(view), this.#times(),
      (this.parts.bar = h("figure", { className: "bar" })), this.#warns(view), this.#low(log, view),
    ];
  }

  #top({ connection, attempt, top }) {
    const name = attempt > 1 ? t("clock.attempt_of", { connection, n: attempt }) : connection;
    const more = [top.batch, top.place].filter(Boolean).join(", ");
    return h("header", { className: "sheet-top" }, h("p", {}, h("b", {}, name), `, ${more}`));
  }

  #next({ todo }) {
    const title = (this.parts.title = h(this.heading, { className: "title" }));
    const how = (this.parts.how = h("p", { className: "how" }));
    const warned = todo.caution
      ? h("p", { className: "warned" }, h("span", { className: "tab" }, t("clock.warn.tab_caution")), h("b", {}, todo.caution[0]), ` ${todo.caution[1]}`)
      : null;
    const act = (this.parts.act = button(todo.label, () => this.#do(todo.act, true), { className: "act", "data-key": "act" }));
    const more = todo.more.map(({ label, act: other }) => button(label, () => this.#do(other), { "data-key": other }));
    const words = h("div", {}, h("p", { className: "k" }, t("clock.next")), title, how, warned);
    return h("section", { className: "next" }, words, h("div", { className: "acts" }, act, more));
  }

  #typed({ todo }) {
    if (todo.key !== "mix" || todo.act !== "mixed") return null;
    const kept = this.app.typed(this.installation);
    const batch = batchField(kept, (change) => this.app.type(this.installation, change));
    const warmth = numberField({ label: t("clock.ask.temperature"), quantity: "temperature", value: kept.warmth ?? "", keys: false });
    warmth.input.addEventListener("input", () => this.app.type(this.installation, { warmth: warmth.input.value }));
    this.parts.warmth = warmth;
    return h("section", { className: "before" }, batch, warmth.element);
  }

  #times() {
    this.parts.figures = [0, 1, 2].map((n) => {
      const [label, number, unit, says] = [h("dt"), h("span"), h("small"), h("dd", { className: "c" })];
      const figure = h("dd", { className: "v" }, number, unit);
      const element = h("div", { className: n === 0 ? "now" : "" }, label, figure, says);
      return { label, number, unit, says, figure, element };
    });
    return h("dl", { className: "times" }, this.parts.figures.map(({ element }) => element));
  }

  #warns({ warns }) {
    const made = warns.map(({ words, act, label }) =>
      h("li", {}, h("span", { className: "tab" }, t("clock.warn.tab_note")), words, act ? button(label, () => this.#do(act), { "data-key": act }) : null),
    );
    return made.length ? h("ul", { className: "warns" }, made) : null;
  }

  #low(log, view) {
    const shown = this.all ? log : log.slice(0, SHOWN);
    const rows = shown.map(({ time, what, more }) => h("li", {}, h("b", {}, time), h("span", {}, what), h("span", {}, more)));
    const list = rows.length
      ? h("ol", { className: "log", "aria-label": t("clock.log_title") }, rows)
      : h("p", { className: "second log" }, t("clock.log_empty"));
    const toggle = log.length > SHOWN
      ? button(t(this.all ? "clock.log_less" : "clock.log_more", { n: log.length }), () => {
          this.all = !this.all;
          this.draw();
        }, { className: "link", "data-key": "all" })
      : null;
    const left = h("div", {}, list, toggle, this.#more(view));
    return h("section", { className: "low" }, left, this.#side(view));
  }

  #more({ state }) {
    const logger = ["at-pressure", "out", "test-reading"].includes(state.step);
    const acts = ["note", ...(logger ? ["logger"] : []), ...(state.aborted ? [] : ["other"])];
    return h("div", { className: "more" }, acts.filter((act) => this.#may(act)).map((act) => this.#quiet(act)));
  }

  /** Whether it may be offered; something else that happened is a step of the crew's work. */
  #may(act) {
    return mayDo(this.app.book, act === "other" ? "mixed" : act);
  }

  #quiet(act) {
    return button(t(`clock.act.${act}`), () => this.#do(act), { "data-key": act });
  }

  #side({ state, own }) {
    const over = state.aborted || ["inspected", "test-reading"].includes(state.step);
    const theirs = own.some(({ kind }) => kind !== "note" && this.app.book.may(kind));
    const stop = state.step === null || over || !this.#may("abort") ? null : this.#stop();
    return h("div", { className: "side" }, theirs && this.#may("correct") ? this.#quiet("correct") : null, stop);
  }

  #stop() {
    let timer = null;
    const bar = h("span", { className: "held" });
    const stop = button("", () => {}, { className: "act quiet stop", "data-key": "stop" });
    stop.append(bar, h("span", {}, t("clock.act.abort"), h("small", {}, t("clock.act.abort_hold"))));
    const begin = () => {
      if (timer !== null) return;
      this.pressed = true;
      stop.classList.add("holding");
      timer = setTimeout(() => {
        end();
        this.#do("abort");
      }, HOLD);
    };
    const end = () => {
      clearTimeout(timer);
      timer = null;
      this.pressed = false;
      stop.classList.remove("holding");
    };
    stop.addEventListener("pointerdown", begin);
    for (const name of ["pointerup", "pointerleave", "pointercancel", "blur"]) stop.addEventListener(name, end);
    stop.addEventListener("contextmenu", (event) => event.preventDefault());
    const isKey = (event) => event.key === " " || event.key === "Enter";
    stop.addEventListener("keydown", (event) => {
      if (!isKey(event)) return;
      event.preventDefault(); // a key that is held is no click
      if (!event.repeat) begin();
    });
    stop.addEventListener("keyup", (event) => {
      if (isKey(event)) event.preventDefault();
      end();
    });
    // a click without pointer or key comes from assistive technology, which cannot hold
    stop.addEventListener("click", (event) => {
      if (event.detail === 0) this.#do("abort");
    });
    return stop;
  }

  async #do(act, isNext = false) {
    if (this.busy || (isNext && performance.now() < this.ready)) return;
    const view = this.app.view(this.installation);
    if (act === "mixed" && this.parts.warmth) {
      const temperature = this.parts.warmth.read();
      if (temperature === undefined) return;
      this.app.type(this.installation, { temperature });
    }
    this.busy = true;
    try {
      if (await perform(this.app, view, act)) this.ready = performance.now() + BOUNCE;
    } finally {
      this.busy = false;
      this.draw();
    }
  }

  #update(view) {
    say(this.parts.title, view.todo.title);
    say(this.parts.how, view.todo.how.join(" "));
    const waits = performance.now() < this.ready || this.busy;
    this.parts.act.setAttribute("aria-disabled", String(waits)); // not `disabled`: it keeps its focus
    figures(view).forEach((figure, n) => {
      const { label, number, unit, says, figure: shown } = this.parts.figures[n];
      shown.classList.toggle("long", figure.value.length > 4 && figure.unit !== ""); // e.g. 29:59 h
      say(label, figure.label);
      say(number, figure.value);
      say(unit, figure.unit ? ` ${figure.unit}` : "");
      say(says, figure.says);
    });
    this.#bar(view);
  }

  #bar({ times, own, state, todo }) {
    const bar = this.parts.bar;
    const none = !times || state.aborted;
    bar.classList.toggle("none", none);
    if (none) return;
    const second = `${Math.floor(times.since / 1000)} ${bar.clientWidth}`;
    if (bar.dataset.at === second) return;
    bar.dataset.at = second;
    const done = steps(own);
    const timeOf = (kind) => {
      const event = done.find((found) => found.kind === kind);
      return event ? times.at(event) : null;
    };
    const now = times.mixed + times.since;
    const given = { now, mixed: times.mixed, inflateBy: times.inflateBy, releaseAt: times.releaseAt, pressure: timeOf("at-pressure"), released: timeOf("released"), late: todo.key === "late" };
    if (given.released !== null) given.now = given.released;
    const width = bar.clientWidth;
    if (width) bar.replaceChildren(timeBar(given, width, width < 480));
  }
}

/** The batch of an installation in words, or "". */
export function batchOf(own) {
  const mixed = steps(own).find((event) => event.kind === "mixed");
  const batch = mixed && value(mixed, "batch");
  return batch ? t("clock.time.batch_of", { batch }) : "";
}
