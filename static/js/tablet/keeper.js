// Runs beside the page. After a touch a browser draws first and lets the page's other work wait for it, a write to the
// store too: here it waits for nothing.

import { keepRow } from "./keeping.js";

addEventListener("message", async ({ data: { id, entry, what } }) => {
  try {
    const row = await keepRow(entry, what);
    postMessage({ id, row, at: performance.timeOrigin + performance.now() });
  } catch (problem) {
    postMessage({ id, problem: String(problem) });
  }
});
postMessage({ isReady: true });
