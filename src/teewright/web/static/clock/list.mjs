// All installations of the job: what runs, what this shift sets, and what this tablet holds.

import { sound, ready } from "./alarm.mjs";
import { button, h, say } from "./dom.mjs";
import { lookAtRefused } from "./refused.mjs";
import { t } from "./texts.mjs";
import { giveFile, saveFile } from "./travel.mjs";
import { isLive } from "./todo.mjs";
import { deadlineTime, lasting, planTime, show, units } from "./units.mjs";

export class List {
  /** @param {import("./main.mjs").App} app */
  constructor(app) {
    this.app = app;
    this.element = h("div", { className: "list" });
    this.structure = "";
    this.pressed = false; // a part that is replaced under a finger would lose its press
    this.element.addEventListener("pointerdown", () => {
      this.pressed = true;
    });
    for (const name of ["pointerup", "pointercancel"]) {
      addEventListener(name, () => setTimeout(() => (this.pressed = false)));
    }
  }

  /** Bring the list up to date. */
  draw() {
    const views = this.app.views();
    const shape = JSON.stringify([
      this.app.book.plan?.fingerprint, this.app.book.plan?.over, this.app.sync.state.online === null, this.app.shift, this.app.facts, this.app.said,
      views.map(({ installation, state, todo }) => [installation, state.step, state.aborted, todo.key]),
      this.app.book.plan?.shifts.length, ready(), this.app.book.waiting().length, this.app.book.strange().length,
      this.app.book.refused().map(({ id }) => id), this.app.signedIn, this.app.book.may("note"), units(),
    ]);
    const held = this.pressed || this.element.contains(focusedField());
    if (shape !== this.structure && !held) {
      this.structure = shape;
      this.live = new Map();
      this.element.replaceChildren(...this.#parts(views).filter(Boolean));
    }
    for (const view of views) {
      const line = this.live?.get(view.installation);
      if (line) say(line, leftOf(view));
    }
  }

  #parts(views) {
    const plan = this.app.book.plan;
    const running = views.filter(({ state }) => isLive(state));
    if (!plan && this.app.sync.state.online === null) return [h("h1", {}, t("clock.loading"))];
    const heading = h("h1", { id: "answer" }, answer(plan, views, running));
    if (!views.some(({ collar }) => collar)) {
      const link = h("a", { className: "act", href: "/" }, t("clock.list.empty_act"));
      return [heading, h("p", { className: "how" }, t("clock.list.empty_how")), h("p", {}, link), this.#device()];
    }
    const shift = plan.shifts.find(({ number }) => number === this.app.shift);
    const planned = new Set(shift?.connections ?? []);
    const rest = views.filter(({ state }) => !isLive(state));
    const here = rest.filter((view) => (shift ? planned.has(view.connection) : view.collar && view.collar.shift === null));
    const shown = new Set([...running, ...here]);
    const begun = rest.filter((view) => !shown.has(view) && view.state.step !== null);
    const order = new Map((shift?.connections ?? []).map((name, n) => [name, n]));
    here.sort((one, other) => (order.get(one.connection) ?? 0) - (order.get(other.connection) ?? 0));
    return [
      heading,
      plan.over ? h("p", { className: "how" }, t("clock.warn.over")) : null,
      running.length ? this.#section(t("clock.list.running"), running) : null,
      plan.shifts.length ? h("section", {}, this.#shifts(plan), here.length ? this.#rows(here, !running.length) : h("p", { className: "second" }, t("clock.list.empty_shift"))) : null,
      begun.length ? this.#section(t("clock.list.begun"), begun) : null,
      this.#device(),
    ];
  }

  #section(title, views) {
    return h("section", {}, h("h2", {}, title), this.#rows(views, false));
  }

  #shifts({ shifts, collars }) {
    const name = ({ number, crew, day }) => t("clock.list.shift_of", { number, crew, day });
    const loose = collars.some((collar) => collar.shift === null);
    const options = shifts.map((shift) => h("option", { value: String(shift.number), selected: shift.number === this.app.shift }, name(shift)));
    if (loose) options.push(h("option", { value: "", selected: this.app.shift === null }, t("clock.list.unplanned")));
    const choose = h("select", { onchange: () => this.app.chooseShift(choose.value === "" ? null : Number(choose.value)) }, options);
    return h("label", { className: "shift" }, h("span", {}, t("clock.list.shift")), choose);
  }

  #rows(views, first) {
    return h("ol", { className: "rows" }, views.map((view, n) => this.#row(view, first && n === 0)));
  }

  #row(view, solid) {
    const { collar, connection, installation } = view;
    const left = h("span", { className: "left" });
    this.live.set(installation, left);
    const place = collar && collar.distance !== null ? t("clock.list.from", { distance: show(collar.distance, "length"), manhole: collar.manhole }) : "";
    const link = h(
      "a", { href: this.app.address(installation), className: solid ? "row solid" : "row" },
      h("b", {}, view.attempt > 1 ? `${connection} #${view.attempt}` : connection), h("span", {}, place), h("span", {}, stateWords(view)), left,
    );
    return h("li", {}, link);
  }

  #device() {
    const { facts, book } = this.app;
    const strange = book.strange().length;
    const who = h("input", { value: this.app.person, maxLength: 40, autocomplete: "off", onchange: () => this.app.setPerson(who.value) });
    const importer = h("input", { type: "file", accept: "application/json,.json", className: "visually-hidden", onchange: () => importer.files[0] && giveFile(this.app, importer.files[0]) });
    const facts_ = [
      t(facts.secure ? (facts.offline ? "clock.list.offline_ready" : "clock.list.offline_not_yet") : "clock.list.insecure"),
      t(facts.persisted ? "clock.list.storage_kept" : "clock.list.storage_free"),
      strange ? t("clock.sent.other_job", { n: strange }) : null,
      this.app.signedIn ? t("clock.list.signed_in", { name: this.app.signedIn }) : null,
    ].filter(Boolean);
    const refused = book.refused();
    return h(
      "section", { className: "device" }, h("h2", {}, t("clock.list.device")),
      h("ul", { className: "facts" }, facts_.map((words) => h("li", {}, words))),
      book.may("note") ? h("label", { className: "words" }, t("clock.list.who"), who, h("span", { className: "second note" }, t("clock.list.who_how"))) : null,
      h("p", {}, button(t("clock.list.sound_try"), () => this.app.trySound(() => sound(5))), " ", h("span", { className: "second" }, t(ready() ? "clock.list.sound_on" : "clock.list.sound_off"))),
      h("p", { className: "files" }, button(t("clock.list.export"), () => saveFile(this.app)), book.may("note") ? h("label", { className: "act quiet file" }, t("clock.list.import"), importer) : null),
      book.may("note") ? h("p", { className: "second note" }, t("clock.list.import_how")) : null,
      this.app.said ? h("p", { role: "status" }, this.app.said) : null,
      refused.length ? h("p", {}, button(t("clock.list.refused", { n: refused.length }), () => lookAtRefused(this.app, refused))) : null,
    );
  }
}

function focusedField() {
  const focused = document.activeElement;
  return focused?.matches?.("input,select") ? focused : null;
}

function answer(plan, views, running) {
  if (!views.some(({ collar }) => collar)) return t("clock.answer.empty");
  if (running.length) return t("clock.answer.runs", { n: running.length, name: running[0].installation.replace(/#1$/, "") });
  const waiting = plan.collars.filter(({ connection, gone }) => !gone && !views.some((view) => view.connection === connection && view.state.finished && !view.state.aborted)).length;
  return waiting ? t("clock.answer.idle", { n: waiting }) : t("clock.answer.done");
}

function stateWords({ state, collar, todo }) {
  if (!collar) return t("clock.list.not_in_plan");
  if (state.aborted) return t("clock.list.given_up");
  if (state.finished) return t("clock.list.finished");
  if (state.step === null) return collar.planned ? t("clock.list.mix_at", { time: planTime(collar.planned.mix) }) : "";
  return todo.title;
}

/** The time that decides, short. */
export function leftOf({ state, times, todo }) {
  if (!times || !isLive(state)) return "";
  if (todo.key === "late" || todo.key === "doubt") return t("clock.time.missed");
  const waiting = state.step === "at-pressure";
  if (waiting && times.wait <= 0) return deadlineTime(times.releaseAt);
  return waiting ? lasting(times.wait, { up: true }) : lasting(times.left);
}
