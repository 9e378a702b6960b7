// The tablet's book of a job: the plan, the log as the server has it, and what is still here only.

import { Outbox } from "./outbox.mjs";
import { remember, remembered, result, within } from "./store.mjs";

export class Book {
  /** @param {IDBDatabase} db */
  constructor(db) {
    this.db = db;
    this.outbox = new Outbox(db);
    this.plan = null;
    this.log = [];
    this.entries = [];
    this.stamps = new Map();
  }

  /** Read everything that is kept. */
  async load() {
    this.plan = (await remembered(this.db, "plan")) ?? null;
    this.log = this.plan ? await this.#logOf(this.plan.project) : [];
    await this.reload();
    return this;
  }

  /** Read the entries anew. */
  async reload() {
    this.entries = await this.outbox.all();
    this.stamps = await this.outbox.stamps();
  }

  get project() {
    return this.plan?.project ?? "";
  }

  /** Collars of the plan by connection. */
  get collars() {
    return new Map((this.plan?.collars ?? []).map((collar) => [collar.connection, collar]));
  }

  /** Entries of this job that the server has not confirmed. */
  waiting() {
    return this.#own().filter((entry) => entry.state === "waiting");
  }

  refused() {
    return this.#own().filter((entry) => entry.state === "refused");
  }

  /** Entries of another job that wait on this tablet. */
  strange() {
    return this.entries.filter((entry) => entry.project !== this.project && entry.state !== "kept");
  }

  /** All events of the job as they are known here: the log, then what it lacks. */
  events() {
    const known = new Set(this.log.map((event) => event.id));
    const more = this.#own().filter((entry) => entry.state !== "refused" && !known.has(entry.id));
    return [...this.log, ...more.map(({ draft }) => ({ ...draft, recorded: null }))];
  }

  /** Store entries; resolves once they are on the disk. */
  async add(made) {
    const added = await this.outbox.add(this.project, made);
    await this.reload();
    return added;
  }

  /** Take over the plan as the server has it now. */
  async takePlan(plan) {
    if (plan.project !== this.project) this.log = await this.#logOf(plan.project);
    this.plan = plan;
    await remember(this.db, "plan", plan);
  }

  /** Note what became of entries that were sent. */
  async settle(answers) {
    await this.outbox.settle(answers);
    await this.reload();
  }

  /**
   * Take over events of the server's log; entries that are among them need not be kept longer.
   * @param {object[]} events in order, with `ordinal`
   */
  async takeLog(events) {
    const project = this.project;
    const known = new Set(this.log.map((event) => event.ordinal));
    const fresh = events.filter((event) => !known.has(event.ordinal));
    if (!fresh.length) return false;
    const act = ({ log, entries }) => {
      for (const event of fresh) {
        log.put({ ...event, project });
        entries.delete(event.id);
      }
    };
    await within(this.db, ["log", "entries"], act, { write: true, strict: true });
    this.log = [...this.log, ...fresh].sort((one, other) => one.ordinal - other.ordinal);
    await this.reload();
    return true;
  }

  /**
   * The server's log is another one than it was: an older copy of the file. Begin it anew, and
   * keep what this tablet had logged to be sent again.
   * @param {string} device
   */
  async beginAnew(device) {
    const project = this.project;
    const own = this.log.filter((event) => event.device === device);
    const act = ({ log, entries }) => {
      log.delete(IDBKeyRange.bound([project, 0], [project, Number.MAX_SAFE_INTEGER]));
      for (const event of own) entries.put(asEntry(event, project));
    };
    await within(this.db, ["log", "entries"], act, { write: true, strict: true });
    this.log = [];
    await this.reload();
  }

  #own() {
    return this.entries.filter((entry) => entry.project === this.project);
  }

  #logOf(project) {
    const range = IDBKeyRange.bound([project, 0], [project, Number.MAX_SAFE_INTEGER]);
    return within(this.db, ["log"], ({ log }) => result(log.getAll(range)));
  }
}

function asEntry(event, project) {
  const { id, installation, kind, at, device, sequence, person, data } = event;
  const draft = { id, installation, kind, at, device, sequence, person, data };
  return { id, project, state: "waiting", said: "", draft, files: [] };
}
