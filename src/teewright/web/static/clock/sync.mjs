// Bring the tablet and the server to the same: send what waits, fetch what others logged.

import { batch, body } from "./outbox.mjs";
import { t } from "./texts.mjs";

/** How often both are compared where there is a signal [ms]. */
export const EVERY = 5000;
/** How often the plan is fetched anew [ms]. */
const PLAN_EVERY = 60000;
/** Waits after failures [ms]. */
export const BACKOFF = [1000, 2000, 4000, 8000, 15000, 30000];
/** A request that takes longer is given up and sent again [ms]. */
const TIMEOUT = 20000;
/** The same for a file [ms]; an answer that takes so long tells no time. */
const LONG = 120000;

/** Answers to a single entry that will never be another: it is set aside. */
const FOR_GOOD = new Set([400, 413, 415, 422]);
/** Entries in one round on which the server may fail, each alone, before the round is given up. */
const FAILING = 3;

class SignedOut extends Error {}

/**
 * @typedef {{online: boolean | null, since: number | null, asking: boolean, signedOut: boolean,
 *   problem: string}} SyncState `since` is when that began, on the tablet's own scale [ms]
 */

export class Sync {
  /**
   * @param {{book: import("./book.mjs").Book, clock: import("./time.mjs").HonestClock,
   *   device: string, csrf: string, changed: () => void,
   *   found: (what: object) => void, ask?: typeof fetch}} given
   */
  constructor({ book, clock, device, csrf, changed, found, ask = (...all) => fetch(...all) }) {
    Object.assign(this, { book, clock, device, csrf, changed, found, ask });
    this.state = { online: null, since: null, asking: false, signedOut: false, problem: "" };
    this.failures = 0;
    this.alone = false; // whether entries are sent one by one, to find the one that is in the way
    this.planAt = -Infinity;
    this.timer = null;
    this.running = false;
    this.again = false;
  }

  /** Begin; and try at once whenever the tablet finds a network. */
  start() {
    addEventListener("online", () => this.kick());
    addEventListener("offline", () => this.#tell({ online: false }));
    document.addEventListener("visibilitychange", () => {
      if (!document.hidden) this.kick();
    });
    this.kick();
  }

  /** Compare now. */
  kick() {
    if (this.running) {
      this.again = true;
      return;
    }
    clearTimeout(this.timer);
    this.running = true;
    this.#alone(() => this.#round()).finally(() => {
      this.running = false;
      const wait = this.again ? 0 : this.failures ? jittered(BACKOFF[Math.min(this.failures, BACKOFF.length) - 1]) : EVERY;
      this.again = false;
      this.timer = setTimeout(() => this.kick(), wait);
    });
  }

  /** Two pages of one tablet must not send at once. */
  #alone(act) {
    if (!navigator.locks) return act();
    return navigator.locks.request("teewright-clock-send", { ifAvailable: true }, (lock) =>
      lock ? act() : this.book.load().then(() => this.changed()),
    );
  }

  async #round() {
    try {
      if (performance.now() - this.planAt > PLAN_EVERY || !this.book.plan) await this.#plan();
      const failed = await this.#send();
      await this.#fetch();
      if (failed) throw failed;
      this.failures = 0;
      this.#tell({ online: true, asking: false, signedOut: false, problem: "" });
    } catch (error) {
      this.failures += 1;
      this.planAt = -Infinity;
      if (error.status === 403) await this.#know();
      const signedOut = error instanceof SignedOut;
      const answered = signedOut || error.status !== undefined;
      this.#tell({ online: answered, asking: false, signedOut, problem: answered ? error.message : "" });
    }
  }

  /** The browser lost its half of the token, e.g. when it was killed: begin with a new one. */
  async #know() {
    const told = await this.#get("/api/v1/me").catch(() => ({}));
    this.csrf = told.csrf || this.csrf;
  }

  async #plan() {
    const plan = await this.#get("/api/v1/clock");
    this.planAt = performance.now();
    const { csrf, server_time: _, ...rest } = plan;
    this.csrf = csrf || this.csrf;
    await this.book.takePlan(rest);
    this.changed();
  }

  /** Send what waits; resolves to what the server failed with on single entries, else null. */
  async #send() {
    const failing = new Map();
    while (failing.size < FAILING) {
      const waiting = this.book.waiting().filter(({ id }) => !failing.has(id));
      if (!waiting.length) break;
      this.#tell({ asking: true });
      const sent = this.alone || this.failures > 2 ? batch(waiting, 1) : batch(waiting);
      try {
        const { answers } = await this.post(body(this.book.project, sent));
        await this.book.settle(answers);
        const told = new Set(answers.map(({ id }) => id));
        for (const { id } of sent) if (!told.has(id)) failing.set(id, faulty(t("clock.sent.no_answer"), 500));
      } catch (error) {
        if (!FOR_GOOD.has(error.status) && error.status !== 500) throw error;
        if (sent.length > 1) this.alone = true;
        else await this.#failedOn(sent[0], error, failing);
      }
      this.changed();
    }
    this.alone = failing.size > 0;
    return [...failing.values()].at(-1) ?? null;
  }

  /** The server fails on a single entry: it is set aside for good, or tried again after the others. */
  async #failedOn({ id }, error, failing) {
    if (FOR_GOOD.has(error.status)) await this.book.settle([{ id, kept: false, said: error.message }]);
    else failing.set(id, error);
  }

  async #fetch() {
    while (true) {
      const last = this.book.log.at(-1);
      const answer = await this.#get(`/api/v1/events?after=${Math.max(0, (last?.ordinal ?? 0) - 1)}`);
      this.csrf = answer.csrf || this.csrf;
      if (answer.project !== this.book.project) {
        this.planAt = -Infinity;
        return;
      }
      if (last && answer.events[0]?.hash !== last.hash) {
        await this.book.beginAnew(this.device);
        this.again = true;
        return;
      }
      if (await this.book.takeLog(answer.events)) this.changed();
      if ((this.book.log.at(-1)?.ordinal ?? 0) >= answer.last) break;
    }
    if (await this.book.sendLostAgain()) this.changed();
  }

  /** Send entries. */
  post(text) {
    return this.#asked("/api/v1/events", { method: "POST", body: text, headers: { "Content-Type": "application/json" } });
  }

  /** Send a file that was saved elsewhere, e.g. by another tablet. */
  postFile(file) {
    const form = new FormData();
    form.append("file", file, file.name);
    return this.#asked("/api/v1/events/file", { method: "POST", body: form }, { most: LONG, tells: false });
  }

  #get(address) {
    return this.#asked(address, { method: "GET" });
  }

  async #asked(address, options, { most = TIMEOUT, tells = true } = {}) {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), most);
    const begun = performance.now();
    try {
      const headers = { Accept: "application/json", ...options.headers };
      if (options.method === "POST") headers["X-CSRF-Token"] = this.csrf;
      const answer = await this.ask(address, {
        ...options, headers, signal: stop.signal, cache: "no-store", credentials: "same-origin", redirect: "manual",
      });
      if (answer.status === 401 || answer.type === "opaqueredirect") throw new SignedOut("401");
      if (!answer.ok) throw await refusal(answer);
      const told = await answer.json();
      const found = tells && this.clock.heard(Date.parse(told.server_time), performance.now() - begun);
      if (found) this.found(found);
      return told;
    } finally {
      clearTimeout(timer);
    }
  }

  #tell(change) {
    const before = this.state;
    const online = change.online ?? before.online;
    const since = online === before.online ? before.since : this.clock.now().most;
    this.state = { ...before, ...change, online, since };
    this.changed();
  }
}

async function refusal(answer) {
  const told = await answer.json().catch(() => ({}));
  return faulty(told.detail ?? String(answer.status), answer.status);
}

function faulty(said, status) {
  return Object.assign(new Error(said), { status });
}

/** Tablets that lost their signal together do not come back all at once. */
function jittered(wait) {
  return wait * (0.75 + Math.random() / 2);
}
