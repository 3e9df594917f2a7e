// A walk-round's page, the shell, and any other page where someone is signed in: each begins what it needs.

import { fetchDay, forgetFinished } from "./bundles.js";
import { catchForms } from "./forms.js";
import { showKept } from "./kept.js";
import { NotNow, hello } from "./net.js";
import { forgetOld, onChange } from "./outbox.js";
import { askToStay } from "./room.js";
import { askHowFar, drain, keepSending } from "./sending.js";
import { open } from "./shell.js";
import { forgetSentPhotos } from "./uploads.js";
import { keepShell } from "./versions.js";
import { here, refresh, takeServersPage, walkOn } from "./walk.js";
import { recall } from "./who.js";

async function start() {
  const isShell = "shell" in document.documentElement.dataset;
  await recall();
  catchForms();
  walkOn();
  keepSending();
  // Another tab has the lock but not what was kept here.
  onChange(({ elsewhere, isNew }) => elsewhere && isNew && drain());
  if (isShell) await open();
  else if (here()) await takeServersPage(here().main);
  await showKept();
  document.documentElement.dataset.ready = "";
  await later(isShell);
}

/** What can wait until the page stands. */
async function later(isShell) {
  await keepShell().catch((problem) => console.warn("no shell is kept", problem));
  try {
    await hello();
    await drain();
    await askHowFar();
    if (here() && !isShell) await refresh();
    await fetchDay();
  } catch (problem) {
    if (!(problem instanceof NotNow)) throw problem;
    await drain();
  }
  await askToStay();
  await Promise.all([forgetOld(), forgetFinished(), forgetSentPhotos()]);
}

start();
