// What the tablet keeps: one IndexedDB. A write is over when its transaction is, on disk and not only in memory.

const NAME = "levelpeg";
// By version: what each step adds. A later step never changes an earlier one.
const STEPS = [
  (db) => {
    db.createObjectStore("meta", { keyPath: "name" });
    db.createObjectStore("drafts", { keyPath: "id" });
    db.createObjectStore("outbox", { keyPath: "seq" });
    db.createObjectStore("log", { keyPath: "seq" });
    db.createObjectStore("walks", { keyPath: "walk" });
    db.createObjectStore("stations", { keyPath: ["walk", "number"] });
    db.createObjectStore("photos", { keyPath: "key" });
    db.createObjectStore("people", { keyPath: "id" });
  },
  // Each tap asks which refusal it answers: not all that waits of a day without a signal.
  (_, transaction) => transaction.objectStore("outbox").createIndex("state", "state"),
  // What the server has and the stations kept here do not show yet.
  (db) => db.createObjectStore("mirror", { keyPath: ["walk", "station", "seq"] }),
  // Of a fortnight's log, what is held is looked for often.
  (_, transaction) => transaction.objectStore("log").createIndex("state", "state"),
];

let opening = null;

/** The request's result, as a promise. */
export function asked(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function over(transaction) {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error || new DOMException("aborted", "AbortError"));
  });
}

function open() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, STEPS.length);
    request.onupgradeneeded = ({ oldVersion }) => STEPS.slice(oldVersion).forEach((step) => step(request.result, request.transaction));
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const db = request.result;
      // A newer page in another tab wants to add a step: an old tab must not stand in its way.
      db.onversionchange = () => {
        db.close();
        opening = null;
      };
      db.onclose = () => {
        opening = null;
      };
      resolve(db);
    };
  });
  opening.catch(() => {
    opening = null;
  });
  return opening;
}

/** Runs `work({name: store, ...})` in one transaction; resolves with its result once all of it is on disk. */
export async function write(names, work) {
  const db = await open();
  const transaction = db.transaction(names, "readwrite", { durability: "strict" });
  const done = over(transaction);
  const stores = Object.fromEntries(names.map((name) => [name, transaction.objectStore(name)]));
  let result;
  try {
    result = await work(stores);
  } catch (problem) {
    done.catch(() => {});
    try {
      transaction.abort();
    } catch {
      // It is over already: the store refused the write itself.
    }
    throw problem;
  }
  await done;
  return result;
}

export async function get(name, key) {
  const db = await open();
  return asked(db.transaction(name).objectStore(name).get(key));
}

export async function all(name, range) {
  const db = await open();
  return asked(db.transaction(name).objectStore(name).getAll(range));
}

/** The keys alone: of rows that are large, whether and which there are. */
export async function keys(name, range) {
  const db = await open();
  return asked(db.transaction(name).objectStore(name).getAllKeys(range));
}

/** Those in whose `state` that word stands. */
export async function inState(name, state) {
  const db = await open();
  return asked(db.transaction(name).objectStore(name).index("state").getAll(state));
}

export async function put(name, row) {
  await write([name], (stores) => asked(stores[name].put(row)));
}

export async function remove(name, key) {
  await write([name], (stores) => asked(stores[name].delete(key)));
}

/** A small named value. */
export async function meta(name) {
  return (await get("meta", name))?.value;
}

export async function setMeta(name, value) {
  await put("meta", { name, value });
}

/** All stations of a walk-round, and all that its mirror holds. */
export function ofWalk(walk) {
  return IDBKeyRange.bound([walk], [walk, []]);
}

/** What the mirror holds of one station. */
export function ofStation(walk, station) {
  return IDBKeyRange.bound([walk, station], [walk, station, []]);
}
