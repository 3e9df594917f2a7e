// The service worker keeps one version of the shell. A newer one waits until a person says so, with nothing left to send.

import { offerUpdate } from "./kept.js";

export async function keepShell() {
  const worker = navigator.serviceWorker;
  if (!worker) return;
  const registration = await worker.register("/sw.js", { scope: "/", updateViaCache: "none" });
  watch(registration);
  registration.addEventListener("updatefound", () => watch(registration));
  await worker.ready;
}

function watch(registration) {
  const { installing, waiting } = registration;
  if (waiting && registration.active) offer(waiting);
  installing?.addEventListener("statechange", () => {
    if (installing.state === "installed" && registration.active) offer(installing);
  });
}

function offer(worker) {
  offerUpdate(() => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
    worker.postMessage("use");
  });
}
