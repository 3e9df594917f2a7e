// Who holds the tablet, as the page or the last hello said, and the tablet's own name and clock.

import { uuid7 } from "./keys.js";
import { asked, meta, setMeta, write } from "./store.js";

let known = { id: "", name: "", short_name: "", token: "" };

export function person() {
  return known;
}

/** The page's own person counts over what was kept: someone else may have signed in. */
export async function recall() {
  const kept = await meta("person");
  const link = document.querySelector("[data-person]");
  const here = link?.dataset.person;
  if (kept?.isPending && here !== kept.id) known = kept;
  else if (here && here !== kept?.id) await takesOver({ id: here, name: "", short_name: link.textContent.trim(), token: "" });
  else if (kept) known = { ...kept, isPending: false };
}

/** As a hello says. Who took over without a signal keeps the tablet until their PIN is asked for with one. */
export async function isNow(said) {
  if (known.isPending && known.id !== said.id) return;
  await takesOver(said);
}

/** By PIN or password: {id, name, short_name, token}; `isPending` where the server does not know of it yet. */
export async function takesOver(said) {
  known = said;
  await setMeta("person", known);
}

/** Made once: the one that the sign-in gave this browser, else a random one. */
export function device() {
  const given = document.querySelector("[data-person]")?.dataset.device;
  return write(["meta"], async ({ meta: store }) => {
    const kept = await asked(store.get("device"));
    if (kept) return kept.value;
    const name = given || uuid7();
    store.put({ name: "device", value: name });
    return name;
  });
}

/** When it happens, by the tablet's clock: the server corrects it by the skew that each batch shows. */
export function nowSaid() {
  return new Date().toISOString();
}
