// Keeps the shell of one version, whole, and shows it where the network does not answer. It holds no data of anybody's
// but the small pictures of walk-rounds that pages put by. A newer version waits until a page says "use".
const VERSION = "{{ version }}";
const SHELL = `shell-${VERSION}`;
const PHOTOS = "photos";
const PATIENCE_MS = 2500;
const ASSETS = {{ assets|safe }};
const PAGE = ASSETS[0];
// Named by their content they never change; else the network knows better, if it answers.
const IS_HASHED = ASSETS.some((address) => /\.[0-9a-f]{12}\.js$/.test(address));

addEventListener("install", (event) => event.waitUntil(keep()));
addEventListener("activate", (event) => event.waitUntil(forgetOthers()));
addEventListener("message", ({ data }) => data === "use" && skipWaiting());
addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(request, url));
  else if (ASSETS.includes(url.pathname)) event.respondWith(asset(request));
  else if (/^\/photo\/[0-9a-f-]+\/(thumb\/)?$/.test(url.pathname)) event.respondWith(picture(request));
});

async function keep() {
  const cache = await caches.open(SHELL);
  await cache.addAll(ASSETS.map((address) => new Request(address, { cache: "reload" })));
}

async function forgetOthers() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith("shell-") && name !== SHELL).map((name) => caches.delete(name)));
}

async function kept(request, name = SHELL) {
  return (await caches.open(name)).match(request);
}

/** Stations wait at most so long; other pages as long as it takes. */
async function page(request, url) {
  const answer = fetch(request).then((response) => ofServer(response, url), shell);
  return url.pathname.startsWith("/walk/") ? Promise.race([answer, after(PATIENCE_MS).then(shell)]) : answer;
}

/** A proxy without a server behind it is no answer; nor is "not here" to a walk-round that the server is yet to be told of. */
async function ofServer(response, url) {
  if (response.status >= 502 && response.status <= 504) return shell();
  const [, part, walk] = url.pathname.split("/");
  if (response.status === 404 && part === "walk" && (await isBegunHere(walk))) return (await kept(PAGE)) ?? response;
  return response;
}

function isBegunHere(walk) {
  return new Promise((resolve) => {
    const opening = indexedDB.open("levelpeg");
    // Without a store none was begun: it is not made here, but by the page that knows its steps.
    opening.onupgradeneeded = () => opening.transaction.abort();
    opening.onerror = () => resolve(false);
    opening.onsuccess = () => {
      const db = opening.result;
      const asking = db.transaction("walks").objectStore("walks").get(walk);
      asking.onsuccess = () => resolve(Boolean(asking.result?.begunHere));
      asking.onerror = () => resolve(false);
      db.close();
    };
  });
}

// While the network is this slow, the files of a page come from here too: one after the other they would each wait.
let slowUntil = 0;
const SLOW_MS = 30_000;

function shell() {
  slowUntil = Date.now() + SLOW_MS;
  return kept(PAGE).then((response) => response ?? Response.error());
}

function after(ms) {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

async function asset(request) {
  if (IS_HASHED || Date.now() < slowUntil) return (await kept(request)) ?? fetch(request);
  const late = after(PATIENCE_MS).then(() => kept(request));
  const answer = fetch(request).catch(() => null);
  return (await Promise.race([answer, late])) ?? (await kept(request)) ?? (await answer) ?? Response.error();
}

async function picture(request) {
  return (await kept(request, PHOTOS)) ?? fetch(request);
}
