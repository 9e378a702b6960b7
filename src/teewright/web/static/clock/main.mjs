// The clock at the manhole: what the tablet holds, the time, and the sheets that show both.

import { keepAwake, sound, unlock } from "./alarm.mjs";
import { Book } from "./book.mjs";
import { crossed } from "./countdown.mjs";
import { h } from "./dom.mjs";
import { Head } from "./head.mjs";
import { List } from "./list.mjs";
import { written } from "./moments.mjs";
import { newId } from "./outbox.mjs";
import { Sheet } from "./sheet.mjs";
import { open, remember, remembered } from "./store.mjs";
import { Sync } from "./sync.mjs";
import { t } from "./texts.mjs";
import { DOUBT, HonestClock } from "./time.mjs";
import { isBeforePressure, isLive } from "./todo.mjs";
import { chooseUnits, lasting } from "./units.mjs";
import { allViews, parted, viewOf } from "./view.mjs";

const TICK = 500;
const LEDGER_EVERY = 1000;

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
    this.head = new Head(this);
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
    if (this.book.plan?.units) chooseUnits(this.book.plan.units);
    this.events = this.book.events();
    this.found = new Map();
    this.draw();
  }

  /** Who is signed in at the server, as it told last; "" where nobody must. */
  get signedIn() {
    return this.book.plan?.signed_in ?? "";
  }

  /** All that is known of an installation now. */
  view(installation) {
    return viewOf(this, installation);
  }

  views() {
    return allViews(this);
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
    return this.store(drafts);
  }

  /** Store entries; resolves to whether they are on the disk. */
  async store(drafts) {
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
    if (!this.book.may("note")) return false;
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

  /** Show it all as it is now. */
  draw() {
    if (!this.list) return;
    if (this.shift === undefined && this.book.plan) this.shift = this.#usualShift();
    const name = this.current;
    document.body.dataset.page = name ? "sheet" : "list";
    const live = this.live().map(({ installation }) => installation);
    const shown = name ? [name, ...live.filter((other) => other !== name)] : [];
    this.#place(name ? shown.map((each) => this.#sheet(each)) : [this.list]);
    this.head.draw(name, live);
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
    parts.slice(0, 2).forEach((part, n) => part.draw({ beside: n === 1 }));
    wanted.forEach((element, n) => {
      element.hidden = n > 1;
      element.classList.toggle("beside", n === 1);
    });
  }
}

function whole(seconds) {
  return String(Math.round(seconds)).replace("-", "−");
}

function spanWords(seconds) {
  return `${seconds < 0 ? "−" : "+"}${lasting(Math.abs(seconds) * 1000)}`;
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
