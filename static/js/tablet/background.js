// What can wait until the page stands: the shell and the day are put by, what waits is sent, what is old is let go.

import { fetchDay, forgetFinished } from "./bundles.js";
import { NotNow, hello } from "./net.js";
import { forgetOld } from "./outbox.js";
import { askToStay } from "./room.js";
import { askHowFar, drain } from "./sending.js";
import { forgetSentPhotos } from "./uploads.js";
import { keepShell } from "./versions.js";

/** `between`: what the page itself fetches, before the rest of the day. */
export async function inTheBackground(between = () => null) {
  const isKept = keepShell().catch((problem) => console.warn("no shell is kept", problem));
  try {
    const { person } = await hello();
    await drain();
    if (person) await askHowFar();
    if (person) await between();
    if (person) await fetchDay();
    await isKept;
    // The tablet may lose its signal from here on.
    document.documentElement.dataset.putBy = "";
  } catch (problem) {
    if (!(problem instanceof NotNow)) throw problem;
    await drain();
  }
  await askToStay();
  await Promise.all([forgetOld(), forgetFinished(), forgetSentPhotos()]);
}
