// A walk-round's page and the shell: the forms are caught, the page shows what waits here, and then it is sent.

import { inTheBackground } from "./background.js";
import { catchForms } from "./forms.js";
import { showKept } from "./kept.js";
import { onChange } from "./outbox.js";
import { drain, keepSending } from "./sending.js";
import { open } from "./shell.js";
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
  await inTheBackground(() => here() && !isShell && refresh());
}

start();
