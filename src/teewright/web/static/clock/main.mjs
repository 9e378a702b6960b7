// The clock at the manhole: what the tablet holds, the time, and the sheets that show both.

import { ownOf } from "./acts.mjs";
import { keepAwake, sound, unlock } from "./alarm.mjs";
import { Book } from "./book.mjs";
import { countdown, crossed, hereOf } from "./countdown.mjs";
import { button, h, say } from "./dom.mjs";
import { leftOf, List } from "./list.mjs";
import { written } from "./moments.mjs";
import { body, newId } from "./outbox.mjs";
import { batchOf, Sheet } from "./sheet.mjs";
import { installations, state } from "./state.mjs";
import { open, remember, remembered } from "./store.mjs";
import { Sync } from "./sync.mjs";
import { t } from "./texts.mjs";
import { DOUBT, HonestClock } from "./time.mjs";
import { isBeforePressure, isLive, todo } from "./todo.mjs";
import { clockTime, duration } from "./units.mjs";

const TICK = 500;
const LEDGER_EVERY = 1000;
/** Entries of a file in one request. */
const IMPORT = 100;

export class App {
  constructor(db) {
    this.db = db;
    this.book = new Book(db);
    this.sheets = new Map();
    this.kept = new Map(); // what is typed and not logged yet, by installation
    this.lasts = new Map();
    this.notices = [];
    this.said = "";
    this.unsaved = null;
    this.facts = { secure: isSecureContext, offline: false, persisted: false };
    this.hidden = document.hidden;
    this.ledgerAt = -Infinity;
  }

  /** Read what is kept and show it; then bring it up to date. */
  async start() {
    await this.#identify();
    const ledger = (await remembered(this.db, "ledger")) ?? null;
    this.clock = new HonestClock({ wall: () => Date.now(), mono: () => performance.now() }, ledger, this.device);
    this.doubtFrom = ledger ? ledger.wall : this.clock.now().most;
    await this.book.load();
    this.kept = new Map((await remembered(this.db, "typed")) ?? []);
    this.#chooseShift(await remembered(this.db, "shift"));
    await this.#noteGap(ledger);
    this.list = new List(this);
    this.#listen();
    this.sync = new Sync({
      book: this.book, clock: this.clock, device: this.device, csrf: document.body.dataset.csrf,
      changed: () => this.changed(), found: (what) => this.#heard(what),
    });
    this.changed();
    this.sync.start();
    setInterval(() => this.tick(), TICK);
    await this.#prepare();
  }

  async #identify() {
    this.device = await remembered(this.db, "device");
    if (!this.device) {
      this.device = `tablet-${newId().slice(0, 8)}`;
      await remember(this.db, "device", this.device, { strict: true });
    }
    this.person = (await remembered(this.db, "person")) ?? "";
  }

  /** What the browser promises: storage that stays, and the page without a signal. */
  async #prepare() {
    const storage = navigator.storage;
    if (storage?.persist) {
      this.facts.persisted = (await storage.persisted()) || (await storage.persist());
    }
    if (navigator.serviceWorker) {
      await navigator.serviceWorker.register("/clock/sw.js", { scope: "/clock" });
      await navigator.serviceWorker.ready;
      this.facts.offline = true;
    }
    this.changed();
  }

  #listen() {
    addEventListener("popstate", () => this.changed());
    document.addEventListener("visibilitychange", () => {
      this.hidden ||= document.hidden;
      this.tick();
    });
    document.addEventListener("pointerdown", unlock);
    document.addEventListener("keydown", unlock);
    document.addEventListener("click", (event) => {
      const link = event.target.closest?.("a[href^='/clock']");
      if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      this.go(link.getAttribute("href"));
    });
    addEventListener("pagehide", () => this.saveLedger());
  }

  /** Show another page of the clock. */
  go(address) {
    history.pushState(null, "", address);
    this.changed();
    scrollTo(0, 0);
  }

  address(installation) {
    return `/clock/${installation.split("/").map(encodeURIComponent).join("/")}`;
  }

  /** The installation that the address names, or "". */
  get current() {
    return decodeURIComponent(location.pathname.slice("/clock".length).replace(/^\//, ""));
  }

  /** Something that is kept has changed. */
  changed() {
    this.events = this.book.events();
    this.found = new Map();
    this.draw();
  }

  /** All that is known of an installation now. */
  view(installation) {
    const [connection, attempt] = parted(installation);
    const collar = this.book.collars.get(connection);
    const own = ownOf(this.events, installation);
    const limits = collar?.limits ?? { latest_inflation: Infinity, release: Infinity, pressure_low: 0, pressure_high: Infinity };
    if (!this.found.has(installation)) this.found.set(installation, collar ? state(installation, own, limits) : { step: null, breaches: [], repeats: [] });
    const at = (event) => hereOf(this.clock, event);
    const base = {
      installation, connection, attempt, collar, own, at, events: this.events, state: this.found.get(installation),
      times: collar ? countdown(this.clock, own, installation, limits, this.book.stamps) : null,
      refused: this.book.refused().filter((entry) => entry.draft.installation === installation),
      nextAttempt: attempt + 1,
    };
    if (!collar) return { ...base, todo: { key: "unknown", title: "", more: [] }, warns: [], top: {} };
    const now = this.clock.now().most;
    const readingEvery = this.book.plan.reading_every ?? 900;
    const next = todo({ ...base, log: own, now, readingEvery });
    return { ...base, todo: next, warns: this.#warns(base), top: this.#top(collar, own) };
  }

  #top({ run, shift }, own) {
    const crew = this.book.plan.shifts.find(({ number }) => number === shift)?.crew;
    return { batch: batchOf(own), place: crew ? `${run}, ${crew}` : run };
  }

  #warns({ state: stand, refused, times, collar }) {
    const found = [];
    if (times && isLive(stand) && this.clock.inDoubt()) found.push(this.#doubt());
    for (const words of this.notices) found.push({ words });
    if (times && isLive(stand) && !navigator.wakeLock) found.push({ words: t("clock.warn.keep_on") });
    if (times && (times.limits.release !== collar.limits.release || times.limits.latest_inflation !== collar.limits.latest_inflation)) {
      found.push({ words: t("clock.warn.limits_changed") });
    }
    for (const said of [...stand.breaches, ...stand.repeats]) found.push({ words: t("clock.warn.breach", { said }) });
    if (refused.length) found.push({ words: t("clock.warn.refused", { n: refused.length, said: refused[0].said }) });
    return found;
  }

  #doubt() {
    const { least, most, unknown } = this.clock.now();
    const act = { act: "confirm", label: t("clock.warn.confirm") };
    const from = clockTime(this.doubtFrom);
    if (unknown) return { words: t("clock.warn.doubt_unknown", { from }), ...act };
    return { words: t("clock.warn.doubt", { from, span: `${duration(most - least).text}` }), ...act };
  }

  /** Views of all installations: of each connection the attempt that counts, and what has begun. */
  views() {
    const begun = installations(this.events).filter((name) => name.includes("#"));
    const last = new Map();
    for (const name of begun) {
      const [connection, attempt] = parted(name);
      last.set(connection, Math.max(attempt, last.get(connection) ?? 0));
    }
    const planned = [...this.book.collars.keys()].map((name) => `${name}#${last.get(name) ?? 1}`);
    return [...new Set([...planned, ...begun])].map((name) => this.view(name));
  }

  live() {
    return this.views().filter((view) => view.collar && isLive(view.state));
  }

  /**
   * Store what happened; resolves to whether it is on the disk.
   * @param {string} installation
   * @param {{kind: string, data?: [string, string][], files?: object[]}[]} made
   * @param {{at: number, stamp: object}} [mark] when it happened, now if left out
   */
  async log(installation, made, mark = this.clock.stamp()) {
    const ahead = this.clock.ahead === null ? [] : [["server_ahead", (this.clock.ahead / 1000).toFixed(1)]];
    const drafts = made.map(({ kind, data = [], files = [] }) => ({
      id: newId(), installation, kind, at: written(mark.at), person: this.person.trim() || "crew", data: [...data, ...ahead], files, stamp: mark.stamp,
    }));
    return this.#store(drafts);
  }

  async #store(drafts) {
    try {
      await this.book.add(drafts);
    } catch (error) {
      const full = error?.name === "QuotaExceededError";
      this.unsaved = { drafts, said: full ? t("clock.warn.storage_full") : t("clock.warn.storage_failed", { said: error?.message ?? String(error) }) };
      this.changed();
      return false;
    }
    this.unsaved = null;
    if (drafts.some(({ kind }) => kind === "mixed")) this.type(drafts[0].installation, null);
    this.changed();
    this.sync?.kick();
    return true;
  }

  /** A note at each installation that runs. */
  async noteLive(data) {
    for (const { installation } of this.live()) await this.log(installation, [{ kind: "note", data }]);
    return true;
  }

  typed(installation) {
    return this.kept.get(installation) ?? {};
  }

  /** Keep what is typed and not logged yet. */
  type(installation, change) {
    if (change === null) this.kept.delete(installation);
    else this.kept.set(installation, { ...this.typed(installation), ...change });
    remember(this.db, "typed", [...this.kept]).catch(() => {});
  }

  saveLedger() {
    this.ledgerAt = performance.now();
    return remember(this.db, "ledger", this.clock.ledger()).catch(() => {});
  }

  /** Look at the clocks. */
  tick() {
    const live = this.live();
    const found = this.clock.tick({ hidden: this.hidden || document.hidden, live: live.length > 0 });
    this.hidden = document.hidden;
    if (found) this.#found(found);
    if (performance.now() - this.ledgerAt >= LEDGER_EVERY) this.saveLedger();
    this.#alarms(live);
    keepAwake(live.length > 0);
    this.draw();
  }

  #found({ kind, seconds }) {
    this.saveLedger();
    if (kind === "slept") this.doubtFrom = this.clock.now().least;
    if (kind === "slept" && seconds * 1000 < DOUBT) return;
    const span = spanWords(seconds);
    if (kind === "moved") this.notices = [t("clock.warn.moved", { span })];
    const key = kind === "moved" ? "clock.note.moved" : "clock.note.slept";
    this.noteLive([["text", t(key, { seconds: whole(seconds) })]]);
  }

  #heard({ kind, seconds }) {
    this.saveLedger();
    if (kind === "settled") this.notices = [];
    if (kind === "slept") this.noteLive([["text", t("clock.note.slept", { seconds: whole(seconds) })]]);
    if (kind === "server") {
      this.notices = [t("clock.warn.server", { span: spanWords(seconds) })];
      this.noteLive([["text", t("clock.note.server", { seconds: whole(seconds) })]]);
    }
    this.changed();
  }

  async #noteGap(ledger) {
    this.events = this.book.events();
    this.found = new Map();
    if (!ledger || !this.clock.inDoubt() || !this.live().length) return;
    const { least, most } = this.clock.now();
    await this.noteLive([["text", t("clock.note.slept", { seconds: Math.round((most - least) / 1000) })]]);
  }

  #alarms(live) {
    for (const view of live) {
      const { installation, times } = view;
      const before = this.lasts.get(installation) ?? {};
      const left = isBeforePressure(view.state) ? times.left : null;
      const wait = left === null ? times.wait : null;
      const threshold = left === null ? null : crossed(before.left ?? null, left);
      if (threshold !== null) this.#call(threshold, installation, threshold ? t("clock.alarm.left", { n: threshold }) : t("clock.alarm.zero"));
      if (wait !== null && (before.wait ?? 0) > 0 && wait <= 0) this.#call("release", installation, t("clock.alarm.release"));
      this.lasts.set(installation, { left, wait });
    }
  }

  #call(what, installation, words) {
    sound(what);
    document.getElementById("told").textContent = `${installation}: ${words}`;
    document.getElementById("told").dataset.alarm = String(what);
  }

  trySound(act) {
    unlock();
    setTimeout(() => {
      act();
      this.changed();
    }, 100);
  }

  setPerson(name) {
    this.person = name;
    remember(this.db, "person", name).catch(() => {});
  }

  #chooseShift(kept) {
    const shifts = this.book.plan?.shifts ?? [];
    this.shift = shifts.some(({ number }) => number === kept?.number) ? kept.number : undefined;
  }

  chooseShift(number) {
    this.shift = number;
    remember(this.db, "shift", { number }).catch(() => {});
    this.changed();
  }

  /** The shift of today, else the first with something left to set. */
  #usualShift() {
    const { shifts = [] } = this.book.plan ?? {};
    const today = written(this.clock.now().most).slice(0, 10);
    const begun = new Set(this.events.map(({ installation }) => parted(installation)[0]));
    const left = shifts.find(({ connections }) => connections.some((name) => !begun.has(name)));
    return (shifts.find(({ day }) => day === today) ?? left ?? shifts[0])?.number ?? null;
  }

  /** Save the entries that wait, of whatever job, as a file that the page of the server takes. */
  async exportFile() {
    const waits = this.book.entries.filter((entry) => entry.state !== "kept");
    const drafts = (this.unsaved?.drafts ?? []).map((draft, n) => unsavedEntry(draft, this, n));
    const text = body(waits.length ? waits[0].project : this.book.project, [...waits, ...drafts]);
    const link = h("a", { href: URL.createObjectURL(new Blob([text], { type: "application/json" })), download: `entries-${this.device}.json` });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }

  /** Send the entries of a file. */
  async importFile(file) {
    let given = null;
    try {
      given = JSON.parse(await file.text());
    } catch {
      given = null;
    }
    if (!Array.isArray(given?.events)) this.said = t("clock.list.imported_none");
    else this.said = await this.#imported(given);
    this.changed();
  }

  async #imported({ project = "", events }) {
    let [kept, refused] = [0, 0];
    for (let at = 0; at < events.length; at += IMPORT) {
      const text = JSON.stringify({ project, events: events.slice(at, at + IMPORT) });
      try {
        const { answers } = await this.sync.post(text);
        kept += answers.filter((answer) => answer.kept).length;
        refused += answers.filter((answer) => !answer.kept).length;
      } catch (error) {
        return error.message;
      }
    }
    this.sync.kick();
    return t("clock.list.imported", { kept, refused });
  }

  /** Show it all as it is now. */
  draw() {
    if (!this.list) return;
    if (this.shift === undefined && this.book.plan) this.shift = this.#usualShift();
    const name = this.current;
    document.body.dataset.page = name ? "sheet" : "list";
    const live = this.live().map(({ installation }) => installation);
    const shown = name ? [name, ...live.filter((other) => other !== name)] : [];
    this.#place(name ? shown.map((each) => this.#sheet(each)) : [this.list]);
    this.#head(name, live);
  }

  #sheet(installation) {
    if (!this.sheets.has(installation)) this.sheets.set(installation, new Sheet(this, installation));
    return this.sheets.get(installation);
  }

  #place(parts) {
    const stage = document.getElementById("stage");
    const wanted = parts.map((part) => part.element);
    if (wanted.length !== stage.children.length || wanted.some((element, n) => stage.children[n] !== element)) {
      stage.replaceChildren(...wanted);
    }
    stage.dataset.count = String(Math.min(2, parts.length));
    for (const part of parts.slice(0, 2)) part.draw();
    wanted.forEach((element, n) => {
      element.hidden = n > 1;
      element.classList.toggle("beside", n === 1);
    });
  }

  #head(name, live) {
    const waiting = this.book.waiting().length;
    const refused = this.book.refused().length;
    const words = [waiting ? t("clock.sent.some", { n: waiting }) : t("clock.sent.all")];
    if (refused) words.push(t("clock.sent.refused", { n: refused }));
    say(document.getElementById("unsent"), words.join(", "));
    document.getElementById("unsent").dataset.count = String(waiting);
    this.#signal(document.getElementById("signal"));
    this.#tabs(name, live);
    this.#unsavedBox();
  }

  #signal(element) {
    const { signedOut } = this.sync.state;
    if (!signedOut) say(element, this.#signalWords());
    else if (!element.querySelector("a")) {
      const back = `/sign-in?back=${encodeURIComponent(location.pathname)}`;
      element.replaceChildren(h("a", { href: back }, t("clock.sent.signed_out")));
    }
  }

  #signalWords() {
    const { online, since, asking, problem } = this.sync.state;
    if (problem) return problem;
    if (online === null) return t("clock.sent.never");
    if (!online) return t("clock.sent.no_signal", { time: clockTime(since) });
    return asking ? t("clock.sent.asking") : t("clock.sent.signal", { time: clockTime(this.clock.now().most) });
  }

  #tabs(name, live) {
    const tabs = document.getElementById("tabs");
    const shape = JSON.stringify([name, live]);
    if (tabs.dataset.shape !== shape) {
      tabs.dataset.shape = shape;
      const links = live.map((installation) =>
        h("a", { href: this.address(installation), "aria-current": installation === name ? "page" : null }, h("span", {}, installation.replace(/#1$/, "")), " ", h("b", { "data-left": installation })),
      );
      const all = h("a", { href: "/clock", className: "all" }, t("clock.all"));
      tabs.replaceChildren(...(name ? [all, ...(live.length > 1 || (live.length && live[0] !== name) ? links : [])] : []));
    }
    for (const element of tabs.querySelectorAll("[data-left]")) say(element, leftOf(this.view(element.dataset.left)));
  }

  #unsavedBox() {
    const box = document.getElementById("unsaved");
    const shape = this.unsaved?.said ?? "";
    if (box.dataset.shape === shape) return;
    box.dataset.shape = shape;
    box.hidden = !this.unsaved;
    if (!this.unsaved) return;
    box.replaceChildren(
      h("p", {}, h("span", { className: "tab" }, t("clock.warn.tab_caution")), t("clock.warn.not_saved", { said: shape })),
      button(t("clock.again"), () => this.#store(this.unsaved.drafts), { className: "act" }),
      button(t("clock.list.export"), () => this.exportFile()),
    );
  }
}

function parted(installation) {
  const at = installation.lastIndexOf("#");
  return at < 0 ? [installation, 1] : [installation.slice(0, at), Number(installation.slice(at + 1)) || 1];
}

function whole(seconds) {
  return String(Math.round(seconds)).replace("-", "−");
}

function spanWords(seconds) {
  const { text, hours } = duration(Math.abs(seconds) * 1000);
  return `${seconds < 0 ? "−" : "+"}${text}${hours ? ` ${t("clock.time.hours")}` : ""}`;
}

function unsavedEntry({ files, stamp: _, ...rest }, app, n) {
  const draft = { ...rest, device: `${app.device}-unsaved`, sequence: n + 1 };
  return { id: draft.id, project: app.book.project, state: "waiting", said: "", draft, files };
}

async function begin() {
  try {
    await new App(await open()).start();
  } catch (error) {
    const stage = document.getElementById("stage");
    stage.replaceChildren(h("h1", {}, t("clock.warn.not_saved", { said: error?.message ?? String(error) })));
    throw error;
  }
}

begin();
