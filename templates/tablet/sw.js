// Keeps the shell of one version, and shows it where the network does not answer.
const VERSION = "{{ version }}";
const SHELL = `shell-${VERSION}`;
const ASSETS = {{ assets|safe }};

addEventListener("install", (event) => event.waitUntil(keep()));
addEventListener("activate", (event) => event.waitUntil(forgetOthers()));
addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || new URL(request.url).origin !== location.origin) return;
  if (request.mode === "navigate") event.respondWith(fetch(request).catch(() => caches.match(ASSETS[0])));
  else if (ASSETS.includes(new URL(request.url).pathname)) {
    event.respondWith(caches.match(request).then((kept) => kept || fetch(request)));
  }
});

async function keep() {
  const cache = await caches.open(SHELL);
  await cache.addAll(ASSETS);
}

async function forgetOthers() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith("shell-") && name !== SHELL).map((name) => caches.delete(name)));
}
