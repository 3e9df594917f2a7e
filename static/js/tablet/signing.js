// The look-through: the server's, where all that was answered has arrived; else this tablet's own, from what it shows. What
// is signed is bound to exactly what was shown, by its digest.

import { canonical, sha256 } from "./keys.js";
import { isWaiting, keptOf } from "./outbox.js";
import { countOf } from "./progress.js";
import { stationMain } from "./render.js";
import { all, get, ofWalk } from "./store.js";
import { pieceById, say } from "./words.js";

let shown = null;

/** Puts the tablet's own look-through into `main` where the server's would be older than the answers. */
export async function lookThrough(main) {
  const { walk } = main.dataset;
  const ending = main.querySelector("#ending");
  shown = null;
  if (!ending || main.querySelector("#ending[data-dirty]")) return;
  if (await isServersOwn(walk)) {
    ending.dataset.shown = main.querySelector("#seen")?.value ?? "";
    return;
  }
  const found = await told(main, walk);
  ending.dataset.shown = await sha256(canonical(found.document));
  shown = found.document;
  const look = main.querySelector("#look");
  look?.replaceChildren(...drawn(found).map((part) => main.ownerDocument.importNode(part, true)));
}

async function isServersOwn(walk) {
  const bundle = await get("walks", walk);
  const waits = (await keptOf(walk)).some(isWaiting);
  return !waits && (!bundle || (bundle.signedFor ?? 0) === (bundle.answers ?? 0));
}

async function told(sign, walk) {
  const stations = [];
  const open = [];
  const photos = [];
  for (const { number, name } of await all("stations", ofWalk(walk))) {
    const main = await stationMain(walk, number, { withDrafts: false });
    stations.push({ number, name, rows: [...main.querySelectorAll("[data-asked]")].map(rowOf) });
    photos.push(...[...main.querySelectorAll("#photos [data-sha]")].map(({ dataset }) => dataset.sha));
    if (Object.values(countOf(main)).some((kind) => kind.open)) open.push({ number, name, words: main.querySelector("#still-open").textContent });
  }
  photos.push(...(await keptOf(walk)).filter(({ kind }) => kind === "photo").map(({ fields }) => fields.sha256));
  const remark = [...sign.querySelectorAll("[data-remark]")].map(({ dataset }) => dataset.remark).join("\n");
  const unit = document.querySelector("#mast .unit")?.textContent.trim() ?? "";
  return { document: { walk, unit, stations, remark, photos: [...new Set(photos)].sort() }, open };
}

function rowOf({ id, dataset: { what = "", said = "", answer = "" } }) {
  return { part: id, what, said, answer };
}

function drawn({ document: { walk, stations }, open }) {
  const look = pieceById("look-here");
  const list = look.querySelector("[data-open]");
  for (const { number, name, words } of open) {
    const row = pieceById("look-open", { what: `${number} ${name}`, words });
    row.querySelector("a").href = `/walk/${walk}/station/${number}/`;
    list.append(row);
  }
  if (open.length) look.querySelector("[data-none]")?.remove();
  look.querySelector("[data-count]").textContent = String(open.length || "");
  for (const station of stations) look.querySelector("[data-all]").append(drawnStation(station));
  return [...look.childNodes];
}

function drawnStation({ number, name, rows }) {
  const made = pieceById("look-station", { what: `${number} ${name}` });
  for (const { what, said } of rows) {
    const line = document.createElement("li");
    line.className = "was";
    line.textContent = say("answer", { what, said: said || say("open") });
    made.querySelector("ul").append(line);
  }
  return made;
}

/** What goes with the signatures: the digest of the server's page, or the text of what this tablet showed. */
export async function shownForSigning(form) {
  if (!shown) return {};
  return { seen_sha256: undefined, shown: canonical({ ...shown, at: new Date().toISOString() }), shown_sha256: form.dataset.shown };
}
