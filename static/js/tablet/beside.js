// The page's end of the keeper. Where a browser cannot run it, or it has not come up yet, the page writes by itself.

import { keepRow } from "./keeping.js";

const asked = new Map();
let keeper = null;
let last = 0;

/** Resolves with {row, at}: what is on disk, and since when by performance.now() of this page. */
export function keepBeside(entry, what) {
  if (!keeper) return keepHere(entry, what);
  return new Promise((resolve, reject) => {
    asked.set((last += 1), { resolve, reject, entry, what });
    keeper.postMessage({ id: last, entry, what });
  });
}

async function keepHere(entry, what) {
  return { row: await keepRow(entry, what), at: performance.now() };
}

function start() {
  const address = document.getElementById("keeper")?.href;
  if (!address || !("Worker" in self)) return;
  const worker = new Worker(address, { type: "module" });
  worker.addEventListener("message", ({ data }) => {
    if (data.isReady) keeper = worker;
    else settle(data);
  });
  worker.addEventListener("error", () => {
    keeper = null;
    // Under the same keys: what was written before it went is known to the server by them.
    for (const { resolve, reject, entry, what } of asked.values()) keepHere(entry, what).then(resolve, reject);
    asked.clear();
  });
}

function settle({ id, row, at, problem }) {
  // After an error the page has written it by itself.
  const { resolve = () => {}, reject = () => {} } = asked.get(id) ?? {};
  asked.delete(id);
  if (row) resolve({ row, at: at - performance.timeOrigin });
  else reject(new Error(problem));
}

start();
