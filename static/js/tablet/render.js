// A station out of the tablet's store: the server's HTML, then what waits in the outbox.

import { heldOf, shownAt, stampsOver } from "./outbox.js";
import { progress, stateOf } from "./progress.js";
import { refuse } from "./refusing.js";
import { enter } from "./settling.js";
import { all, get, ofWalk } from "./store.js";
import { pieceById } from "./words.js";

const states = new Map();

/** A main element with the station's HTML in a document of its own: nothing in it is fetched or run. */
export function parsed(html, { walk, station, kind }) {
  const inert = new DOMParser().parseFromString(`<main>${html}</main>`, "text/html");
  const main = inert.querySelector("main");
  const { zone = "" } = main.querySelector("#here")?.dataset ?? {};
  Object.assign(main.dataset, { walk, station: String(station), kindOfWalk: kind, zone });
  return main;
}

/** Shows on an element what this tablet has over the server's: refused, waiting and mirrored entries, in order. */
function overlay(main, rows) {
  for (const row of rows) (row.state === "rejected" ? refuse : enter)(main, row);
  if (rows.length) progress(main);
}

/** What the server keeps for a person is said where it was answered, until it is answered anew. */
function tellHeld(main, rows) {
  for (const row of rows) {
    const part = main.querySelector(`#${CSS.escape(row.part)}`);
    const say = pieceById("held-here", { sentence: row.sentence });
    if (part && say) part.append(main.ownerDocument.importNode(say, true));
  }
}

/** What waits, is mirrored and is held, over the station in `main`. */
export async function overlayAll(main, { walk, station }) {
  overlay(main, await shownAt(walk, station));
  const number = station === "sign" ? null : Number(station);
  tellHeld(main, (await heldOf(walk)).filter((row) => row.station === number && row.kind !== "begin"));
}

/** The station as it stands here, or null if it is not kept. */
export async function stationMain(walk, station) {
  const bundle = await get("walks", walk);
  const html = station === "sign" ? bundle?.sign : (await get("stations", [walk, Number(station)]))?.html;
  if (!html) return null;
  const main = parsed(html, { walk, station, kind: bundle?.kind ?? "" });
  await overlayAll(main, { walk, station });
  return main;
}

/**
 * Every station of a walk-round with its state, by number: what the plan draws. `shown`: the station on the page;
 * `left`: {walk, number, state} of the one that was there just now, as it need not be read again for that; `stamps`:
 * what is shown over the stations, where it has been read.
 */
export async function statesOf(walk, { shown = null, left = null, stamps = null } = {}) {
  const stations = await all("stations", ofWalk(walk));
  stamps ??= await stampsOver(walk);
  const here = shown?.dataset.walk === walk ? Number(shown.dataset.station) : null;
  const known = left?.walk === walk ? { [left.number]: left.state } : {};
  if (here !== null) known[here] = stateOf(shown);
  const found = {};
  for (const one of stations) found[one.number] = known[one.number] ?? (await stateAt(one, stamps[one.number]));
  return found;
}

/** As the server counted it, unless something waits here that it has not. */
async function stateAt({ walk, number, html, state: counted }, stamp = "") {
  if (!stamp && counted) return counted;
  const name = `${walk}/${number}`;
  const known = states.get(name);
  if (known?.html === html && known.stamp === stamp) return known.state;
  const main = parsed(html, { walk, station: number, kind: "" });
  overlay(main, await shownAt(walk, number));
  const state = stateOf(main);
  states.set(name, { html, stamp, state });
  return state;
}

/** The first station with something open, as the server would choose it. */
export async function goesOnAt(walk) {
  const found = Object.entries(await statesOf(walk)).map(([number, state]) => ({ number: Number(number), state }));
  return (found.find(({ state }) => state !== "done") ?? found.at(-1))?.number;
}
