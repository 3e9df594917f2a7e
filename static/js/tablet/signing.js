// The look-through: the server's, where all that was answered has arrived; else this tablet's own, from what it shows. What
// is signed is bound to exactly what was shown, by its digest.

import { canonical, sha256 } from "./keys.js";
import { isWaiting, keptOf, shownOver } from "./outbox.js";
import { countOf } from "./progress.js";
import { stationMain } from "./render.js";
import { all, get, ofWalk } from "./store.js";
import { pieceById, say } from "./words.js";

// What this tablet has shown by itself, by its digest: the form names the one that stands over it.
const DOCUMENTS = new Map();

/** Puts the tablet's own look-through into `main` where the server's would be older than the answers. */
export async function lookThrough(main) {
  const { walk } = main.dataset;
  const ending = main.querySelector("#ending");
  if (!ending) return;
  if (await isServersOwn(walk)) {
    ending.dataset.shown = main.querySelector("#seen")?.value ?? "";
    return;
  }
  const found = await told(main, walk);
  ending.dataset.shown = await sha256(canonical(found.document));
  DOCUMENTS.set(ending.dataset.shown, found.document);
  const look = main.querySelector("#look");
  look?.replaceChildren(...drawn(found).map((part) => main.ownerDocument.importNode(part, true)));
  stand(main, found.stops);
}

async function isServersOwn(walk) {
  const bundle = await get("walks", walk);
  const waits = (await keptOf(walk)).some(isWaiting);
  return !waits && (!bundle || (bundle.signedFor ?? 0) === (bundle.answers ?? 0));
}

async function told(sign, walk) {
  const found = { stations: [], open: [], noted: [], stops: [], photos: [] };
  for (const { number, name } of await all("stations", ofWalk(walk))) look(await stationMain(walk, number), { number, name }, found);
  const { stations, photos, ...drawn } = found;
  photos.push(...(await shownOver(walk)).filter(({ kind }) => kind === "photo").map(({ fields }) => fields.sha256));
  const remark = [...sign.querySelectorAll("[data-remark]")].map(({ dataset }) => dataset.remark).join("\n");
  const unit = document.querySelector("#mast .unit")?.textContent.trim() ?? "";
  return { document: { walk, unit, stations, remark, photos: [...new Set(photos)].sort() }, ...drawn };
}

/** What one station adds: its answers, what is open, what is not as it should be, what stands in the way of the keys. */
function look(main, { number, name }, { stations, open, noted, stops, photos }) {
  const parts = [...main.querySelectorAll("[data-asked]")];
  stations.push({ number, name, rows: parts.map(rowOf) });
  photos.push(...[...main.querySelectorAll("#photos [data-sha]")].map(({ dataset }) => dataset.sha));
  if (Object.values(countOf(main)).some((kind) => kind.open)) open.push({ number, name, words: main.querySelector("#still-open").textContent });
  const bad = parts.filter((part) => part.querySelector('.pair .no[aria-pressed="true"]') || part.id.startsWith("mark-") && part.querySelector(".pin.new"));
  if (bad.length) noted.push({ number, name, words: bad.map(({ dataset }) => say("answer", dataset)).join("; ") });
  if (main.querySelector("#go[data-held]")) stops.push(main.querySelector("#go b").textContent);
  const unheard = parts.filter(({ dataset }) => "safety" in dataset && dataset.asked === "topic" && !dataset.answer);
  if (unheard.length) stops.push(say("unheard", { what: unheard.map(({ dataset }) => dataset.what).join(", ") }));
}

function rowOf({ id, dataset: { what = "", said = "", answer = "" } }) {
  return { part: id, what, said, answer };
}

function drawn({ document: { walk, stations }, open, noted }) {
  const made = pieceById("look-here");
  for (const row of open) made.querySelector("[data-open]").append(drawnPlace(row, walk));
  for (const row of noted) made.querySelector("[data-noted]").append(drawnPlace(row, walk));
  if (open.length) made.querySelector("[data-none-open]").remove();
  if (noted.length) made.querySelector("[data-none-noted]").remove();
  for (const station of stations) made.querySelector("[data-all]").append(drawnStation(station));
  return [...made.childNodes];
}

function drawnPlace({ number, name, words }, walk) {
  const row = pieceById("look-place", { what: `${number} ${name}`, words });
  row.querySelector("a").href = `/walk/${walk}/station/${number}/`;
  return row;
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

/** At a pickup the keys stay for what holds the unit and for what nobody has heard. */
function stand(main, stops) {
  if (main.dataset.kindOfWalk !== "pickup" || !stops.length) return;
  const stop = pieceById("look-stop");
  for (const sentence of stops) stop.append(Object.assign(document.createElement("p"), { textContent: sentence }));
  main.querySelector("#foot #go")?.replaceWith(main.ownerDocument.importNode(stop, true));
}

/** The names of those who have not signed a form with sheets; the host asks them before the customer is gone. */
export function unsigned(form) {
  const sheets = [...form.querySelectorAll("[data-signature]")];
  return sheets.filter((sheet) => !sheet.querySelector('input[name^="strokes"]').value).map((sheet) => sheet.querySelector(".who b").textContent);
}

/** What goes with the signatures: the digest of the server's page, or the text of what this tablet showed. */
export function shownForSigning(form) {
  const shown = DOCUMENTS.get(form.dataset.shown);
  if (!shown) return {};
  return { seen_sha256: undefined, shown: canonical({ ...shown, at: new Date().toISOString() }), shown_sha256: form.dataset.shown };
}
