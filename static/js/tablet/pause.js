// What is in no hurry waits for a moment in which nobody taps: a tap that meets it would wait for its end.

const PAUSE_MS = 1_500;
const LATEST_MS = 15_000;

// Who has just come to a station looks first.
const LOOK_MS = 400;

let last = 0;

/** At a station that has just come nobody has begun: what the server knows more may come in soon. */
export function arrived() {
  last = performance.now() + LOOK_MS - PAUSE_MS;
}

/** Comes when nothing was pressed or typed for a while, or when it has waited long enough. */
export async function aPause() {
  const since = performance.now();
  for (;;) {
    const now = performance.now();
    const open = Math.min(last + PAUSE_MS, since + LATEST_MS) - now;
    if (open <= 0) return;
    await new Promise((done) => setTimeout(done, open));
  }
}

for (const kind of ["pointerdown", "keydown"]) {
  document.addEventListener(kind, () => {
    last = performance.now();
  }, { capture: true, passive: true });
}
