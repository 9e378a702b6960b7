// Photos and logger files that the server has: kept here as well, as long as there is room, for a
// server that is put back to an older copy must get them again.

import { result, within } from "./store.mjs";

/** Most that is kept so [bytes]; the oldest go first. */
export const MOST = 2e8;
const NAMES = ["photo", "readings_file"];
const SIZES = "file sizes";

/**
 * Keep the files of an entry that goes out of the outbox; within its transaction.
 * @param {{meta: IDBObjectStore, files: IDBObjectStore}} stores
 * @param {import("./outbox.mjs").AttachedFile[]} found
 * @param {number} [most] [bytes]
 */
export async function keepFiles({ meta, files }, found, most = MOST) {
  if (!found.length) return;
  let sizes = (await result(meta.get(SIZES))) ?? []; // [hash, bytes], the oldest first
  for (const file of found) {
    files.put(file);
    sizes = [...sizes.filter(([hash]) => hash !== file.sha256), [file.sha256, file.bytes.byteLength]];
  }
  let all = sizes.reduce((sum, [, bytes]) => sum + bytes, 0);
  while (all > most && sizes.length) {
    const [hash, bytes] = sizes.shift();
    files.delete(hash);
    all -= bytes;
  }
  meta.put(sizes, SIZES);
}

/** Files that are kept of those that an event names; within a transaction. */
export async function filesOf({ files }, event) {
  const hashes = event.data.filter(([name]) => NAMES.includes(name)).map(([, hash]) => hash);
  const found = [];
  for (const hash of hashes) found.push(await result(files.get(hash)));
  return found.filter(Boolean);
}

/** Let them all go: what is new here has no room. */
export function dropFiles(db) {
  const act = ({ meta, files }) => {
    files.clear();
    meta.delete(SIZES);
  };
  return within(db, ["meta", "files"], act, { write: true });
}
