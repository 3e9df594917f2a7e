// What a person did and the server has not said yes to. An entry is on disk before anything else happens with it.
// `state` is empty while it waits; "rejected" when it cannot be; "held" when the server keeps it for a person.

import { keepBeside } from "./beside.js";
import { putAside } from "./keeping.js";
import { all, asked, inState, keys, ofStation, ofWalk, write } from "./store.js";

const A_DAY_MS = 24 * 3600 * 1000;
const FORTNIGHT_MS = 14 * A_DAY_MS;
const channel = "BroadcastChannel" in self ? new BroadcastChannel("levelpeg") : null;
const listeners = new Set();

/** Calls back when the outbox or a station changed, here or in another tab. */
export function onChange(listener) {
  listeners.add(listener);
}

/** `what`: {walk} that was written, or nothing; `isNew` when an entry was added; `isAgreed` as `settleAcks` finds it. */
export function changed(what = {}) {
  channel?.postMessage(what);
  listeners.forEach((listener) => listener(what));
}

channel?.addEventListener("message", ({ data }) => listeners.forEach((listener) => listener({ ...data, elsewhere: true })));

/** Keeps an entry, as `keepRow` does. Resolves with {row, at} once it is on disk; `at` by this page's performance.now(). */
export async function keep(entry, what = {}) {
  const kept = await keepBeside(entry, what);
  changed({ walk: kept.row.walk, isNew: true });
  return kept;
}

/** A refused entry that its person gives up: it stays in the log, and the server has its receipt. */
export async function setAside(seq) {
  const row = await write(["outbox", "log", "photos"], async (stores) => {
    const found = await asked(stores.outbox.get(seq));
    if (found) {
      putAside(stores, found);
      stores.photos.delete(found.key);
    }
    return found;
  });
  if (row) changed({ walk: row.walk });
}

/** A refused entry goes out once more, as it is: under a key of its own, since the old one has its receipt. */
export async function sendAgain(seq, key) {
  await write(["meta", "outbox", "log", "photos"], async (stores) => {
    const [row, last] = await Promise.all([asked(stores.outbox.get(seq)), asked(stores.meta.get("seq"))]);
    if (!row) return;
    const photo = await asked(stores.photos.get(row.key));
    if (photo) {
      stores.photos.delete(row.key);
      stores.photos.put({ ...photo, key, complete: false });
    }
    putAside(stores, row);
    stores.meta.put({ name: "seq", value: last.value + 1 });
    stores.outbox.add({ ...row, key, seq: last.value + 1, state: "", sentence: "", field: "" });
  });
  changed();
}

/** In the order in which it was done. */
export function kept() {
  return all("outbox");
}

export async function keptOf(walk) {
  return (await kept()).filter((row) => row.walk === walk);
}

/** What this tablet shows over the stations that it keeps: what the server has and they do not show, what it has not. */
export async function shownOver(walk) {
  const [has, waits] = await Promise.all([all("mirror", ofWalk(walk)), keptOf(walk)]);
  return inOrder([...has, ...waits]);
}

/** The same of one station; "sign" is the look-through. */
export async function shownAt(walk, station) {
  const number = station === "sign" ? null : Number(station);
  const waits = (await keptOf(walk)).filter((row) => row.station === number && row.kind !== "begin");
  return number === null ? waits : inOrder([...(await all("mirror", ofStation(walk, number))), ...waits]);
}

/** By station the numbers of what is shown over it, without reading what the server has. */
export async function stampsOver(walk) {
  const [has, waits] = await Promise.all([keys("mirror", ofWalk(walk)), keptOf(walk)]);
  const stamps = {};
  const stamp = (station, words) => (stamps[station] = `${stamps[station] ?? ""} ${words}`);
  for (const [, station, seq] of has) stamp(station, seq);
  for (const { station, seq, state, kind } of waits) if (kind !== "begin") stamp(station, `${seq}${state === "rejected" ? "!" : ""}`);
  return stamps;
}

function inOrder(rows) {
  return rows.sort((a, b) => a.seq - b.seq);
}

/** What the server kept for a person in the last day and that nothing later answers. */
export async function heldOf(walk, now = Date.now()) {
  if (!(await inState("log", "held")).length) return [];
  const rows = (await all("log")).filter((row) => row.over > now - A_DAY_MS && (!walk || row.walk === walk));
  const isAnew = (row) => rows.some((later) => later.seq > row.seq && later.walk === row.walk && later.part === row.part);
  return rows.filter((row) => row.state === "held" && !isAnew(row));
}

export function isWaiting(row) {
  return row.state === "";
}

/**
 * Takes the server's word for each key: what is over moves to the log, what is refused stays with its sentence. What
 * was answered is never out of sight: stations that came along are written in the same transaction, and of those that
 * did not, the mirror holds it, with the row as the server draws it where that says more.
 */
export async function settleAcks({ acks, stations = [], rows: drawn = [], moved = [], contiguous_seq: contiguous }) {
  const walks = await write(["meta", "outbox", "log", "mirror", "stations", "walks"], async (stores) => {
    const rows = new Map((await asked(stores.outbox.getAll())).map((row) => [row.key, row]));
    const told = new Set(acks.map(({ key }) => rows.get(key)?.walk).concat(stations.map(({ walk }) => walk)));
    for (const ack of acks) take(stores, rows.get(ack.key), ack);
    const isBack = (row) => stations.some(({ walk, number }) => walk === row.walk && number === row.station);
    const html = Object.fromEntries(drawn.map((row) => [row.key, row.html]));
    for (const { key, status } of acks) if (AGREED.has(status) && !isBack(rows.get(key))) mirror(stores, rows.get(key), html[key]);
    for (const station of stations) await freshen(stores, station);
    for (const walk of told) await outdate(stores, walk);
    for (const one of moved) await move(stores, one);
    await resendAfter(stores, contiguous);
    const isPlain = ({ key, status }) => AGREED.has(status) && STANDS.has(rows.get(key)?.kind);
    const isAgreed = !stations.length && !drawn.length && acks.every(isPlain);
    return [...told].filter(Boolean).map((walk) => ({ walk, isAgreed }));
  });
  walks.forEach(changed);
  if (!walks.length) changed();
}

// Answers that look the same once the server has them: `isAgreed` where it said no more than yes, and to nothing else.
const STANDS = new Set(["check", "seal", "judge", "count", "reading"]);

/** What was answered counts in the bundle too, once it is fetched again: the page to sign is older than that. */
async function outdate(stores, walk) {
  const bundle = walk && (await asked(stores.walks.get(walk)));
  if (bundle) stores.walks.put({ ...bundle, answers: (bundle.answers ?? 0) + 1 });
}

/** Nothing but what was answered here has changed it, and its station came back: there is no more to fetch. */
async function move(stores, { walk, from, to }) {
  const bundle = await asked(stores.walks.get(walk));
  if (bundle?.etag === from) stores.walks.put({ ...bundle, etag: to });
}

const OVER = new Set(["ok", "duplicate", "conflict", "held"]);
const AGREED = new Set(["ok", "duplicate"]);

function mirror(stores, row, html = "") {
  if (Number.isInteger(row?.station)) stores.mirror.put({ ...row, html, state: "ok", since: Date.now() });
}

function take(stores, row, { status, sentence = "", field = "" }) {
  if (!row) return;
  if (OVER.has(status)) putAside(stores, { ...row, state: status === "held" ? "held" : status, sentence });
  else if (status === "rejected") stores.outbox.put({ ...row, state: "rejected", sentence, field });
}

async function freshen(stores, station) {
  const before = await asked(stores.stations.get([station.walk, station.number]));
  stores.stations.put({ ...before, ...station });
  stores.mirror.delete(ofStation(station.walk, station.number));
}

/** A server put back from a backup knows less than it did: what it had and lost is sent again. */
async function resendAfter(stores, contiguous) {
  if (!Number.isInteger(contiguous)) return;
  const before = (await asked(stores.meta.get("contiguous")))?.value ?? 0;
  stores.meta.put({ name: "contiguous", value: contiguous });
  if (contiguous >= before) return;
  const lost = await asked(stores.log.getAll(IDBKeyRange.lowerBound(contiguous, true)));
  for (const row of lost.filter((one) => OVER.has(one.state))) {
    stores.log.delete(row.seq);
    if (Number.isInteger(row.station)) stores.mirror.delete([row.walk, row.station, row.seq]);
    stores.outbox.put({ ...row, state: "" });
  }
}

/** Forgets what was settled, and what was typed and left, more than a fortnight ago. */
export async function forgetOld(now = Date.now()) {
  await write(["log", "drafts"], async ({ log, drafts }) => {
    for (const row of await asked(log.getAll())) if (row.over < now - FORTNIGHT_MS) log.delete(row.seq);
    for (const row of await asked(drafts.getAll())) if (row.at < now - FORTNIGHT_MS) drafts.delete(row.id);
  });
}
