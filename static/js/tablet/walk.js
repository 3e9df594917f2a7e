// From station to station without the network: a link is answered from the tablet's store at once, and what the server
// knows more comes in after it, part by part.

import { draftsOf, restore } from "./drafts.js";
import { keepRestored } from "./forms.js";
import { fetchWalk } from "./bundles.js";
import { NotNow } from "./net.js";
import { kept, onChange, stampsOver } from "./outbox.js";
import { mergeMain } from "./parts.js";
import { aPause, arrived } from "./pause.js";
import { drawRound, stateOf } from "./progress.js";
import { goesOnAt, overlayAll, stationMain, statesOf } from "./render.js";
import { lookThrough } from "./signing.js";
import { all, asked, get, ofStation, put, write } from "./store.js";
import { pieceById, say } from "./words.js";

const EVERY_MS = 15_000;
const ADDRESS = /^\/walk\/([0-9a-f-]{36})\/(?:station\/(\d+)\/|(sign)\/)?$/;
const pictures = new Map();

export function here() {
  const main = document.getElementById("main");
  return main?.dataset.walk ? { main, ...main.dataset } : null;
}

/** {walk, station} of an address of a walk-round; station is "" where the first open one is meant. */
export function placeOf(path) {
  const found = ADDRESS.exec(path);
  return found && { walk: found[1], station: found[2] ?? found[3] ?? "" };
}

function addressOf({ walk, station }) {
  return station === "sign" ? `/walk/${walk}/sign/` : `/walk/${walk}/station/${station}/`;
}

/** Shows a station out of the store. False if it is not kept here. */
export async function show(place, { push = true, anchor = "", isFirst = false } = {}) {
  const { walk } = place;
  const station = place.station || String((await goesOnAt(walk)) ?? "");
  const fresh = station ? await stationMain(walk, station) : null;
  if (!fresh) return false;
  await dress(walk);
  await withDrafts(fresh);
  const main = document.getElementById("main");
  const left = here() && { walk: main.dataset.walk, number: main.dataset.station, state: stateOf(main) };
  main.className = "walk";
  Object.assign(main.dataset, fresh.dataset);
  main.replaceChildren(...fresh.childNodes);
  if (push) history.pushState({}, "", addressOf({ walk, station }) + anchor);
  await shown(main, left);
  arrive(main, anchor, isFirst);
  arrived();
  return true;
}

async function dress(walk) {
  const bundle = await get("walks", walk);
  const mast = document.getElementById("mast");
  if (mast && bundle?.mast) mast.innerHTML = bundle.mast;
  await otherVehicle(mast, walk);
}

/** The second vehicle in the bay, where only this tablet knows that it has begun. */
async function otherVehicle(mast, walk) {
  if (!mast || mast.querySelector(".other")) return;
  const others = (await all("walks")).filter((row) => row.walk !== walk && row.begun && row.seenAt && !row.isOver);
  const [other] = others.sort((a, b) => b.seenAt - a.seenAt);
  const number = other && (await goesOnAt(other.walk));
  if (!number) return;
  const link = pieceById("other-way", { what: say("other", { unit: unitOf(other), number }) });
  link.href = addressOf({ walk: other.walk, station: number });
  mast.append(link);
}

function unitOf({ mast = "" }) {
  const inert = new DOMParser().parseFromString(mast, "text/html");
  return inert.querySelector(".unit")?.textContent.trim() ?? "";
}

/** What was being typed or drawn; a signature only over what it was drawn under. */
async function withDrafts(main) {
  const { walk, station } = main.dataset;
  if (station === "sign") await lookThrough(main);
  restore(main, await draftsOf(walk, station));
}

/** What every showing needs, from the server or from the store. */
async function shown(main, left) {
  const { walk } = main.dataset;
  await keepRestored([...main.querySelectorAll("form[data-at-once][data-dirty]")]);
  await around(main, left);
  await write(["walks"], async ({ walks }) => {
    const row = await asked(walks.get(walk));
    if (row) walks.put({ ...row, seenAt: Date.now() });
  });
  document.dispatchEvent(new CustomEvent("tablet:shown"));
}

/** The plan, the photos that are only here, and what is only known to the server. */
async function around(main, left) {
  await roundOf(main, left);
  await unmark(main);
  await filledIn(main);
}

/** What the server has agreed to, before the page was drawn or while it was, bears no mark any more. */
async function unmark(main) {
  const marked = [...main.querySelectorAll("[data-unsent][data-answer]")].map((part) => [part, part.dataset.answer]);
  if (!marked.length) return;
  const waits = new Set((await kept()).map(({ key }) => key));
  // Meanwhile it may have been answered anew.
  for (const [part, key] of marked) if (!waits.has(key) && part.dataset.answer === key) part.removeAttribute("data-unsent");
}

/** Where nothing is shown over the stations that are kept here, the plan in them is the newest there is. */
async function roundOf(main, left) {
  const { walk } = main.dataset;
  const stamps = await stampsOver(walk);
  if (Object.keys(stamps).length) drawRound(main, await statesOf(walk, { shown: main, left, stamps }));
}

async function filledIn(main) {
  for (const image of main.querySelectorAll("img[data-photo]:not([src])")) image.src = await picture(image.dataset.photo);
  for (const place of main.querySelectorAll("[data-fetch]:empty")) fetchInto(place);
}

async function picture(key) {
  if (!pictures.has(key)) {
    const photo = await get("photos", key);
    if (!photo) return "";
    pictures.set(key, URL.createObjectURL(photo.blob));
  }
  return pictures.get(key);
}

async function fetchInto(place) {
  if (!navigator.onLine) return;
  const response = await fetch(place.dataset.fetch).catch(() => null);
  if (response?.ok && !response.redirected) place.innerHTML = await response.text();
}

function arrive(main, anchor, isFirst) {
  const name = main.querySelector("h1");
  document.title = [name?.textContent, document.querySelector("#mast .unit")?.textContent].filter(Boolean).join(", ");
  if (!isFirst) {
    name?.setAttribute("tabindex", "-1");
    name?.focus({ preventScroll: true });
  }
  const target = anchor && document.getElementById(decodeURIComponent(anchor.slice(1)));
  if (target) target.scrollIntoView();
  else scrollTo(0, 0);
}

/** The page as the server sent it: kept, then shown with what waits here. */
export async function takeServersPage(main) {
  const { walk, station, kindOfWalk } = main.dataset;
  main.dataset.zone = main.querySelector("#here")?.dataset.zone ?? "";
  const html = main.innerHTML;
  if (station !== "sign") await keepServers(await withName({ walk, number: Number(station), html, state: stateOf(main) }));
  await overlayAll(main, { walk, station });
  await withDrafts(main);
  if (!(await get("walks", walk))) await put("walks", { walk, kind: kindOfWalk, begun: true, answers: 0, fetchedAt: 0 });
  await shown(main);
}

/** It shows what the server had when it was asked for: of what came after, the mirror holds the answers. */
async function keepServers(row) {
  await write(["stations", "mirror"], async ({ stations, mirror }) => {
    const held = await asked(mirror.getAll(ofStation(row.walk, row.number)));
    for (const { seq, since } of held) if (since < performance.timeOrigin) mirror.delete([row.walk, row.number, seq]);
    stations.put(row);
  });
}

async function withName(row) {
  const before = await get("stations", [row.walk, row.number]);
  return { ...before, ...row, name: before?.name ?? document.querySelector("#station-name")?.textContent.trim() };
}

let turn = Promise.resolve();
let isDue = false;

/** One after the other, between two taps: the page is what the last of them read. One that is due reads for all. */
function update({ walk, isNew, elsewhere, isAgreed } = {}) {
  const place = here();
  // What is kept on this page is shown by who kept it.
  if (!place || (walk && walk !== place.walk) || (isNew && !elsewhere)) return turn;
  if (isAgreed && !elsewhere && place.station !== "sign") return unmark(place.main);
  if (isDue) return turn;
  isDue = true;
  turn = turn.catch(() => {}).then(aPause).then(() => {
    isDue = false;
    return bringUpToDate();
  });
  return turn;
}

/** Brings the page to what the store has now; what is being typed in stays. */
async function bringUpToDate() {
  const place = here();
  const fresh = place && (await stationMain(place.walk, place.station));
  if (!fresh) return;
  if (place.station === "sign") await lookThrough(fresh);
  await roundOf(fresh);
  // Someone may have gone on meanwhile.
  if (here()?.station !== place.station || here()?.walk !== place.walk) return;
  mergeMain(place.main, fresh);
  await around(place.main);
  document.dispatchEvent(new CustomEvent("tablet:shown"));
}

/** Asks for what other tablets have answered meanwhile. */
export async function refresh() {
  const place = here();
  if (!place || !navigator.onLine) return;
  const bundle = await get("walks", place.walk);
  try {
    const toSign = place.station === "sign";
    const isUpToDate = await fetchWalk(place.walk, bundle?.bundle, { toSign });
    if (!isUpToDate) await fetchWalk(place.walk, bundle?.bundle, { toSign });
    if (toSign) await update(place);
  } catch (problem) {
    if (!(problem instanceof NotNow)) throw problem;
  }
}

async function follow(event) {
  const link = event.target.closest?.("a[href]");
  if (!link || event.defaultPrevented || event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  const url = new URL(link.getAttribute("href"), location.href);
  const place = url.origin === location.origin && placeOf(url.pathname);
  if (!place || !here() || (url.hash && url.pathname === location.pathname)) return;
  event.preventDefault();
  if (await show(place, { anchor: url.hash })) refresh();
  else location.assign(url);
}

/** Pages of walk-rounds are changed here from now on. */
export function walkOn() {
  document.addEventListener("click", follow);
  addEventListener("popstate", () => {
    const place = placeOf(location.pathname);
    if (place && here()) show(place, { push: false, anchor: location.hash }).then((isShown) => isShown || location.reload());
  });
  onChange(update);
  document.addEventListener("tablet:kept", keptHere);
  document.addEventListener("tablet:ended", ({ detail }) => ended(detail));
  setInterval(() => document.visibilityState === "visible" && aPause().then(refresh), EVERY_MS);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && refresh());
}

let isRoundDue = false;

/** The plan reads every station and is in no hurry; a photo that was just taken shows at once. */
async function keptHere() {
  if (!here()) return;
  await filledIn(here().main);
  if (isRoundDue) return;
  isRoundDue = true;
  await aPause();
  isRoundDue = false;
  if (here()) await roundOf(here().main);
}

/** The server has ended the walk-round: who still looks at it goes on to where it leads. */
async function ended({ walk, address }) {
  await write(["walks"], async ({ walks }) => {
    const row = await asked(walks.get(walk));
    if (row) walks.put({ ...row, isOver: true });
  });
  if (here()?.walk === walk && address) location.assign(address);
}
