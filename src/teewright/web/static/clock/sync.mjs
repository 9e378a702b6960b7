// Bring the tablet and the server to the same: send what waits, fetch what others logged.

import { batch, body } from "./outbox.mjs";

/** How often both are compared where there is a signal [ms]. */
export const EVERY = 5000;
/** How often the plan is fetched anew [ms]. */
const PLAN_EVERY = 60000;
/** Waits after failures [ms]. */
export const BACKOFF = [1000, 2000, 4000, 8000, 15000, 30000];
/** A request that takes longer is given up and sent again [ms]. */
const TIMEOUT = 20000;

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
      await this.#send();
      await this.#fetch();
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

  async #send() {
    while (true) {
      const waiting = this.book.waiting();
      if (!waiting.length) return;
      this.#tell({ asking: true });
      // an entry on which the server fails holds back the others as little as can be
      const sent = this.failures > 2 ? batch(waiting, 1) : batch(waiting);
      const answer = await this.post(body(this.book.project, sent));
      await this.book.settle(answer.answers);
      this.changed();
      if (!answer.answers.length) return;
    }
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
      if ((this.book.log.at(-1)?.ordinal ?? 0) >= answer.last) return;
    }
  }

  /** Send a body that was made elsewhere, e.g. by another tablet. */
  post(text) {
    return this.#asked("/api/v1/events", { method: "POST", body: text });
  }

  #get(address) {
    return this.#asked(address, { method: "GET" });
  }

  async #asked(address, options) {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), TIMEOUT);
    const begun = performance.now();
    try {
      const headers = { Accept: "application/json" };
      if (options.method === "POST") {
        Object.assign(headers, { "Content-Type": "application/json", "X-CSRF-Token": this.csrf });
      }
      const answer = await this.ask(address, {
        ...options, headers, signal: stop.signal, cache: "no-store", credentials: "same-origin", redirect: "manual",
      });
      if (answer.status === 401 || answer.type === "opaqueredirect") throw new SignedOut("401");
      if (!answer.ok) throw await refusal(answer);
      const told = await answer.json();
      const found = this.clock.heard(Date.parse(told.server_time), performance.now() - begun);
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
  const error = new Error(told.detail ?? String(answer.status));
  error.status = answer.status;
  return error;
}

/** Tablets that lost their signal together do not come back all at once. */
function jittered(wait) {
  return wait * (0.75 + Math.random() / 2);
}
