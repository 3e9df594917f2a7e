// The day board, and where a walk-round is begun from: what the yard needs without a signal is put by, what waits is sent.

import { inTheBackground } from "./background.js";
import { keepSending } from "./sending.js";
import { recall } from "./who.js";

async function start() {
  await recall();
  keepSending();
  await inTheBackground();
}

start();
