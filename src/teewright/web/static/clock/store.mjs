// What the tablet keeps: entries that wait, the log as the server has it, the ledger of time.

const NAME = "teewright-clock";
const VERSION = 2;

/** Open the tablet's store; rejects where the browser keeps nothing. */
export function open(name = NAME) {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(name, VERSION);
    asked.onupgradeneeded = () => {
      const db = asked.result;
      const make = (name, how = {}) => db.objectStoreNames.contains(name) || db.createObjectStore(name, how);
      make("meta");
      make("entries", { keyPath: "id" });
      make("log", { keyPath: ["project", "ordinal"] });
      make("stamps");
      make("files", { keyPath: "sha256" }); // of entries that the server has, by their hashes
    };
    asked.onsuccess = () => {
      asked.result.onversionchange = () => asked.result.close();
      resolve(asked.result);
    };
    asked.onerror = () => reject(asked.error);
    asked.onblocked = () => reject(new DOMException("blocked", "InvalidStateError"));
  });
}

/** The result of a request within its transaction. */
export function result(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/**
 * One transaction. Resolves with what `act` made of it once everything is stored: with
 * `strict`, once it is on the disk; rejects where nothing of it is stored.
 * @param {IDBDatabase} db
 * @param {string[]} stores
 * @param {(stores: Record<string, IDBObjectStore>) => any} act may only wait for its requests
 * @param {{write?: boolean, strict?: boolean}} [how]
 */
export function within(db, stores, act, { write = false, strict = false } = {}) {
  return new Promise((resolve, reject) => {
    const durability = strict ? "strict" : "relaxed";
    const transaction = db.transaction(stores, write ? "readwrite" : "readonly", { durability });
    const named = Object.fromEntries(stores.map((name) => [name, transaction.objectStore(name)]));
    let made;
    let failed = null;
    transaction.oncomplete = () => resolve(made);
    transaction.onabort = () => reject(failed ?? transaction.error ?? new DOMException("aborted", "AbortError"));
    Promise.resolve()
      .then(() => act(named))
      .then((value) => {
        made = value;
      })
      .catch((error) => {
        failed = error;
        try {
          transaction.abort();
        } catch {
          reject(error); // it had ended already
        }
      });
  });
}

/** A single value that the tablet remembers. */
export function remembered(db, name) {
  return within(db, ["meta"], ({ meta }) => result(meta.get(name)));
}

/** Remember a single value. */
export function remember(db, name, value, how = {}) {
  return within(db, ["meta"], ({ meta }) => void meta.put(value, name), { write: true, ...how });
}
