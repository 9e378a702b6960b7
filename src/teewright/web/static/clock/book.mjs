// The tablet's book of a job: the plan, the log as the server has it, and what is still here only.

import { dropFiles, filesOf, keepFiles, MOST } from "./files.mjs";
import { carriedOver } from "./kept.mjs";
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

  /** Whether who is signed in may log that; on a tablet that was never told, everything. */
  may(kind) {
    return !this.plan?.logs || this.plan.logs.includes(kind);
  }

  /** Entries of this job that the server has not confirmed. */
  waiting() {
    return this.#own().filter((entry) => entry.state === "waiting");
  }

  refused() {
    return this.#own().filter((entry) => entry.state === "refused");
  }

  /** Entries of any job that the server has not confirmed: those that wait and the refused ones. */
  unsent() {
    return this.entries.filter(({ state }) => state === "waiting" || state === "refused");
  }

  /** Entries of another job that wait on this tablet. */
  strange() {
    return this.unsent().filter((entry) => entry.project !== this.project);
  }

  /** All events of the job as they are known here: the log, then what it lacks. */
  events() {
    const known = new Set(this.log.map((event) => event.id));
    // a refused entry counts until another stands in its place: what was done was done
    const counted = new Set(["waiting", "kept", "refused"]);
    const more = this.#own().filter((entry) => counted.has(entry.state) && !known.has(entry.id));
    return [...this.log, ...more.map(({ draft, state }) => ({ ...draft, recorded: null, waits: state === "waiting" }))];
  }

  /** Store entries; resolves once they are on the disk. What is new goes before what the server has. */
  async add(made) {
    const add = () => this.outbox.add(this.project, made);
    const added = await add().catch(async (error) => {
      if (error?.name !== "QuotaExceededError") throw error;
      await dropFiles(this.db);
      return add();
    });
    await this.reload();
    return added;
  }

  /** Send a refused entry once more. */
  async retry(id) {
    await this.outbox.retry(id);
    await this.reload();
  }

  /** Set another entry in the place of a refused one. */
  async replace(id, right) {
    await this.outbox.replace(id, right);
    await this.reload();
  }

  /** Take over the plan as the server has it now. */
  async takePlan(plan) {
    if (plan.project !== this.project) this.log = await this.#logOf(plan.project);
    this.plan = carriedOver(plan, this.plan, new Set(this.events().map(connectionOf)));
    await remember(this.db, "plan", this.plan);
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
    const take = (most) => {
      const act = async ({ meta, files, log, entries }) => {
        for (const event of fresh) {
          const entry = await result(entries.get(event.id));
          if (entry) await keepFiles({ meta, files }, entry.files, most);
          log.put({ ...event, project });
          entries.delete(event.id);
        }
      };
      return within(this.db, ["meta", "files", "log", "entries"], act, { write: true, strict: true });
    };
    await take(MOST).catch(async (error) => {
      if (error?.name !== "QuotaExceededError") throw error;
      await dropFiles(this.db);
      return take(0);
    });
    this.log = [...this.log, ...fresh].sort((one, other) => one.ordinal - other.ordinal);
    await this.reload();
    return true;
  }

  /** Entries that the server had confirmed and that its whole log lacks are sent again. */
  async sendLostAgain() {
    const known = new Set(this.log.map((event) => event.id));
    const lost = this.#own().filter((entry) => entry.state === "kept" && !known.has(entry.id));
    for (const { id } of lost) await this.outbox.retry(id);
    if (lost.length) await this.reload();
    return lost.length > 0;
  }

  /**
   * The server's log is another one than it was: an older copy of the file. Begin it anew, and
   * keep what this tablet had logged, with its files, to be sent again.
   * @param {string} device
   */
  async beginAnew(device) {
    const project = this.project;
    const own = this.log.filter((event) => event.device === device);
    const act = async ({ files, log, entries }) => {
      log.delete(IDBKeyRange.bound([project, 0], [project, Number.MAX_SAFE_INTEGER]));
      for (const event of own) entries.put(asEntry(event, project, await filesOf({ files }, event)));
    };
    await within(this.db, ["files", "log", "entries"], act, { write: true, strict: true });
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

function connectionOf({ installation }) {
  return installation.slice(0, installation.lastIndexOf("#"));
}

function asEntry(event, project, files) {
  const { id, installation, kind, at, device, sequence, person } = event;
  const data = event.data.filter(([name]) => name !== "signed_in"); // the server's own
  const draft = { id, installation, kind, at, device, sequence, person, data };
  return { id, project, state: "waiting", said: "", draft, files };
}
