// The outbox is sent in order, by one tab at a time: answers first, then photos one by one, then what ends a walk-round.
// Nothing leaves the tablet's store but by the server's word for its key, in a response that says it is the server's.

import * as outbox from "./outbox.js";
import { NotNow, answered, hello, lastHello, notNow, sendJson } from "./net.js";
import { meta } from "./store.js";
import { upload } from "./uploads.js";
import { device } from "./who.js";

const TOGETHER = 50;
const LONGEST_S = 30;
const ENDS = new Set(["hand-over", "take-back"]);
const AT_ONCE = new Set(["begin", ...ENDS]);
const REST_MS = 600;
const LATEST_MS = 10_000;

let tries = 0;
let timer = 0;
let due = 0;
let dueSince = 0;
let again = false;
let running = false;

/** Sends what waits, unless it is being sent; then once more after that. */
export async function drain() {
  again = true;
  if (running) return;
  running = true;
  try {
    await (navigator.locks ? navigator.locks.request("levelpeg-sending", { ifAvailable: true }, (lock) => lock && loop()) : loop());
  } finally {
    running = false;
  }
}

/** After a short rest, several answers at once: what comes back would meet the next tap. What others wait for goes without one. */
function soon({ detail }) {
  const now = performance.now();
  if (!due) dueSince = now;
  clearTimeout(due);
  const wait = AT_ONCE.has(detail?.kind) ? 0 : Math.min(REST_MS, dueSince + LATEST_MS - now);
  due = setTimeout(() => {
    due = 0;
    drain();
  }, wait);
}

async function loop() {
  while (again) {
    again = false;
    clearTimeout(timer);
    try {
      if (await sendAll()) later();
      else tries = 0;
    } catch (problem) {
      if (!(problem instanceof NotNow)) throw problem;
      if (problem.why !== "sign-in") later(problem.seconds);
    }
  }
}

/** From one second to thirty, never all tablets at the same time. */
function later(seconds = 0) {
  const wait = Math.max(Math.min(2 ** tries, LONGEST_S) * (0.5 + Math.random() / 2), seconds);
  tries += 1;
  clearTimeout(timer);
  timer = setTimeout(drain, wait * 1000);
}

/** True if something has to be sent again: the server waits for what it belongs to. */
async function sendAll() {
  const told = new Set();
  for (let batch; (batch = await next(told)).length; ) {
    for (const row of batch) told.add(row.key);
    for (const row of batch.filter(({ kind }) => kind === "photo")) if (!(await upload(row.key))) row.fields.lost = "1";
    await sendBatch(batch);
  }
  return (await outbox.kept()).some(outbox.isWaiting);
}

/** What goes out together: up to fifty answers; else one photo; else what ends a walk-round. */
async function next(told) {
  const rows = (await outbox.kept()).filter((row) => outbox.isWaiting(row) && !told.has(row.key));
  const answers = rows.filter(({ kind }) => kind !== "photo" && !ENDS.has(kind));
  if (answers.length) return answers.slice(0, TOGETHER);
  const photo = rows.find(({ kind }) => kind === "photo");
  return photo ? [photo] : rows;
}

const SENT = ["key", "seq", "kind", "walk", "station", "item", "fields", "base", "at", "author", "token"];

async function sendBatch(rows) {
  if (rows.some(({ token }) => !token) && !lastHello()) await hello();
  const entries = rows.map((row) => proven(Object.fromEntries(SENT.map((name) => [name, row[name]]))));
  const response = await sendJson("/tablet/entries/", { device: await device(), now: new Date().toISOString(), mirrors: true, rows: true, entries });
  if (!response.ok || response.headers.get("X-Outbox-Ack") !== "1") throw await notNow(response);
  answered();
  const said = await response.json();
  await outbox.settleAcks(said);
  for (const end of said.ends ?? []) document.dispatchEvent(new CustomEvent("tablet:ended", { detail: end }));
}

/** What was captured before the first hello has no proof yet; whoever it was is still signed in. */
function proven(entry) {
  const said = lastHello();
  const isNow = said?.person && (!entry.author || entry.author === said.person.id);
  return entry.token || !isNow ? entry : { ...entry, author: said.person.id, token: said.token };
}

/** At start-up the server is asked how far it has this tablet's entries: after a restored backup it may have fewer. */
export async function askHowFar() {
  if (!(await meta("contiguous"))) return;
  const waits = (await outbox.kept()).some(outbox.isWaiting);
  if (waits) return;
  await sendBatch([]).catch(() => {});
  await drain();
}

export function keepSending() {
  addEventListener("online", drain);
  addEventListener("offline", () => document.dispatchEvent(new CustomEvent("tablet:network")));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && drain());
  document.addEventListener("tablet:kept", soon);
}
