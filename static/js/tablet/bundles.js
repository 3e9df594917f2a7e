// Walk-rounds as the tablet keeps them: fetched whole, so that a shift can go on without a signal, and let go when done.

import { ask } from "./net.js";
import { changed, kept } from "./outbox.js";
import { all, asked, get, meta, ofWalk, setMeta, write } from "./store.js";

const PHOTOS = "photos";
const AT_MOST_EVERY_MS = 60_000;
const A_DAY_MS = 24 * 3600 * 1000;

/** Fetches a walk-round if it changed. `address` names one that has not begun by its leg and kind. Raises NotNow.
 * `toSign`: the look-through must be the server's of now, which does not come back with an answer. */
export async function fetchWalk(walk, address = `/tablet/walk/${walk}/`, { toSign = false } = {}) {
  const before = walk ? await get("walks", walk) : undefined;
  const isKnown = before?.etag && !(toSign && before.etag !== before.signTag);
  const response = await ask(address, isKnown ? { "If-None-Match": before.etag } : {});
  if (response.status === 304) return isUpToDate(walk, before.answers ?? 0);
  return keepWalk(await response.json(), response.headers.get("ETag"), before?.answers ?? 0);
}

/** True unless an answer was acknowledged meanwhile: then what was fetched is older than that. */
async function isUpToDate(walk, answers) {
  return write(["walks"], async ({ walks }) => {
    const now = await asked(walks.get(walk));
    if ((now.answers ?? 0) !== answers) return false;
    const signedFor = now.etag === now.signTag ? answers : now.signedFor;
    walks.put({ ...now, fetchedAt: Date.now(), signedFor });
    return true;
  });
}

async function keepWalk({ stations, ...bundle }, etag, answers) {
  const isKept = await write(["walks", "stations", "mirror"], async (stores) => {
    const now = await asked(stores.walks.get(bundle.walk));
    if (now && (now.answers ?? 0) !== answers) return false;
    const begun = bundle.begun || Boolean(now?.begunHere);
    const tag = bundle.etag ?? etag;
    const own = { etag: tag, signTag: tag, answers, signedFor: answers, begun, fetchedAt: Date.now() };
    stores.walks.put({ seenAt: now?.seenAt, begunHere: now?.begunHere, ...bundle, ...own });
    for (const station of stations) stores.stations.put({ ...station, walk: bundle.walk });
    stores.mirror.delete(ofWalk(bundle.walk));
    return true;
  });
  if (isKept) changed({ walk: bundle.walk });
  await keepPhotos(bundle.photos ?? []);
  return isKept;
}

/** The small pictures of what it left with: the service worker shows them when there is no signal. */
async function keepPhotos(addresses) {
  if (!("caches" in self)) return;
  const cache = await caches.open(PHOTOS);
  for (const address of addresses) {
    if (!(await cache.match(address))) await cache.add(address).catch(() => {});
  }
}

/** The day at the branch and every walk-round of it, the ones under way first. Raises NotNow. */
export async function fetchDay() {
  const last = (await meta("day"))?.fetchedAt ?? 0;
  if (Date.now() - last < AT_MOST_EVERY_MS) return;
  const day = await (await ask("/tablet/day/")).json();
  await setMeta("day", { ...day, fetchedAt: Date.now() });
  changed();
  for (const row of [...day.walks].sort((a, b) => Number(b.begun) - Number(a.begun))) await fetchRow(row);
}

function fetchRow(row) {
  return row.etag && row.walk ? fetchIfOther(row) : null;
}

async function fetchIfOther(row) {
  const before = await get("walks", row.walk);
  if (before?.etag !== row.etag) await fetchWalk(row.walk, row.bundle).catch(() => {});
}

/** Lets go of walk-rounds that are no more in the day's list, unless something of theirs still waits here. */
export async function forgetFinished(now = Date.now()) {
  const day = await meta("day");
  const listed = new Set(day?.walks.map(({ walk }) => walk));
  const waiting = new Set((await kept()).map(({ walk }) => walk));
  for (const { walk, fetchedAt = 0, seenAt = 0 } of await all("walks")) {
    if (listed.has(walk) || waiting.has(walk) || Math.max(fetchedAt, seenAt) > now - A_DAY_MS) continue;
    await write(["walks", "stations", "mirror"], (stores) => {
      stores.walks.delete(walk);
      stores.stations.delete(ofWalk(walk));
      stores.mirror.delete(ofWalk(walk));
    });
  }
  await forgetPhotos();
}

/** Pictures go with the last walk-round that shows them. */
async function forgetPhotos() {
  if (!("caches" in self)) return;
  const shown = new Set((await all("walks")).flatMap(({ photos = [] }) => photos));
  const cache = await caches.open(PHOTOS);
  for (const { url } of await cache.keys()) if (!shown.has(new URL(url).pathname)) await cache.delete(url);
}
