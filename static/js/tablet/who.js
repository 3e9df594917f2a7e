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
  if (here && here !== kept?.id) known = { id: here, name: "", short_name: link.textContent.trim(), token: "" };
  else if (kept) known = kept;
  if (here && here !== kept?.id) await setMeta("person", known);
}

export async function isNow(said) {
  known = said;
  await setMeta("person", known);
}

/** A random name, made once. */
export function device() {
  return write(["meta"], async ({ meta: store }) => {
    const kept = await asked(store.get("device"));
    if (kept) return kept.value;
    const name = uuid7();
    store.put({ name: "device", value: name });
    return name;
  });
}

/** When it happens, by the tablet's clock: the server corrects it by the skew that each batch shows. */
export function nowSaid() {
  return new Date().toISOString();
}
