// Entries of this tablet that the server has not confirmed yet, and how they get there.
//
// An entry is stored, with its photos, in one strict transaction before anyone is told that it is
// saved. It is sent under the id that it was given here, in the order of its sequence, as often
// as it takes; the server keeps it once.

import { result, within } from "./store.mjs";

/** Entries in one request, and bytes of their files. */
const TOGETHER = { entries: 50, bytes: 6e6 };

/**
 * @typedef {{sha256: string, media_type: string, bytes: ArrayBuffer}} AttachedFile
 * @typedef {{id: string, project: string, state: "waiting" | "kept" | "refused" | "replaced", said: string,
 *   draft: object, files: AttachedFile[]}} Entry
 */

/** A UUID of version 4, also where `crypto.randomUUID` is not to be had. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [0, 8, 12, 16, 20].map((at, n, all) => hex.slice(at, all[n + 1])).join("-");
}

export class Outbox {
  /** @param {IDBDatabase} db */
  constructor(db) {
    this.db = db;
  }

  /**
   * Store entries: all or none. Resolves once they are on the disk.
   * @param {string} project key of the job to which they belong
   * @param {{id: string, installation: string, kind: string, at: string, person: string,
   *   data: [string, string][], files?: AttachedFile[], stamp?: object}[]} made with ids of `newId`
   * @returns {Promise<Entry[]>}
   */
  add(project, made) {
    const act = async ({ meta, entries, stamps }) => {
      const added = await numbered(meta, project, made);
      for (const { entry, stamp } of added) {
        entries.add(entry);
        if (stamp) stamps.put(stamp, entry.id);
      }
      return added.map(({ entry }) => entry);
    };
    return within(this.db, ["meta", "entries", "stamps"], act, { write: true, strict: true });
  }

  /** All entries, in the order in which they were made. @returns {Promise<Entry[]>} */
  async all() {
    const found = await within(this.db, ["entries"], ({ entries }) => result(entries.getAll()));
    return found.sort((one, other) => one.draft.sequence - other.draft.sequence);
  }

  /** Stamps of entries made here, by id. */
  async stamps() {
    const act = async ({ stamps }) => [await result(stamps.getAllKeys()), await result(stamps.getAll())];
    const [keys, values] = await within(this.db, ["stamps"], act);
    return new Map(keys.map((key, n) => [key, values[n]]));
  }

  /**
   * Note what became of entries that were sent.
   * @param {{id: string, kept: boolean, said: string}[]} answers
   */
  settle(answers) {
    const act = async ({ entries }) => {
      for (const answer of answers) {
        const entry = await result(entries.get(answer.id));
        if (!entry) continue;
        entries.put({ ...entry, state: answer.kept ? "kept" : "refused", said: answer.said });
      }
    };
    return within(this.db, ["entries"], act, { write: true, strict: true });
  }

  /**
   * Set another entry in the place of one that was refused, which is kept but never sent.
   * @param {string} id of the refused one
   * @param {object} right as for `add`; it takes over the files
   */
  replace(id, right) {
    const act = async ({ meta, entries, stamps }) => {
      const wrong = await result(entries.get(id));
      const stamp = await result(stamps.get(id));
      const [{ entry }] = await numbered(meta, wrong.project, [{ ...right, files: wrong.files }]);
      entries.add(entry);
      entries.put({ ...wrong, state: "replaced", files: [] });
      if (stamp && right.at === wrong.draft.at) stamps.put(stamp, entry.id);
    };
    return within(this.db, ["meta", "entries", "stamps"], act, { write: true, strict: true });
  }

  /** Send a refused entry once more. */
  retry(id) {
    const act = async ({ entries }) => {
      const entry = await result(entries.get(id));
      if (entry) entries.put({ ...entry, state: "waiting", said: "" });
    };
    return within(this.db, ["entries"], act, { write: true, strict: true });
  }
}

/** Entries with the device and its next numbers, as they are stored. */
async function numbered(meta, project, made) {
  const device = await result(meta.get("device"));
  let sequence = (await result(meta.get("sequence"))) ?? 0;
  const found = made.map(({ files = [], stamp, ...rest }) => {
    sequence += 1;
    const draft = { ...rest, device, sequence };
    return { entry: { id: draft.id, project, state: "waiting", said: "", draft, files }, stamp };
  });
  meta.put(sequence, "sequence");
  return found;
}

/** The next entries to be sent together, of those that wait, at most so many. */
export function batch(waiting, most = TOGETHER.entries) {
  const chosen = [];
  let bytes = 0;
  for (const entry of waiting) {
    bytes += entry.files.reduce((sum, file) => sum + file.bytes.byteLength, 0);
    if (chosen.length && (chosen.length === most || bytes > TOGETHER.bytes)) break;
    chosen.push(entry);
  }
  return chosen;
}

/** Entries as the server takes them, and as they are saved to a file. */
export function body(project, entries) {
  const events = entries.map(({ draft, files }) => ({
    ...draft,
    attachments: files.map(({ sha256, media_type, bytes }) => ({ sha256, media_type, data: base64(bytes) })),
  }));
  return JSON.stringify({ project, count: events.length, events }); // `count`: a cut is seen
}

function base64(buffer) {
  const bytes = new Uint8Array(buffer);
  let text = "";
  for (let at = 0; at < bytes.length; at += 0x8000) {
    text += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  }
  return btoa(text);
}
