// A station out of the tablet's store: the server's HTML, then what waits in the outbox.

import { heldOf, shownOver } from "./outbox.js";
import { stateOf } from "./progress.js";
import { refuse } from "./refusing.js";
import { settle } from "./settling.js";
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
export function overlay(main, rows) {
  for (const row of rows) (row.state === "rejected" ? refuse : settle)(main, row);
}

/** What the server keeps for a person is said where it was answered, until it is answered anew. */
export function tellHeld(main, rows) {
  for (const row of rows) {
    const part = main.querySelector(`#${CSS.escape(row.part)}`);
    const say = pieceById("held-here", { sentence: row.sentence });
    if (part && say) part.append(main.ownerDocument.importNode(say, true));
  }
}

export function rowsAt(rows, station) {
  const number = station === "sign" ? null : Number(station);
  return rows.filter((row) => row.station === number && row.kind !== "begin");
}

/** The station as it stands here, or null if it is not kept. */
export async function stationMain(walk, station) {
  const bundle = await get("walks", walk);
  const html = station === "sign" ? bundle?.sign : (await get("stations", [walk, Number(station)]))?.html;
  if (!html) return null;
  const main = parsed(html, { walk, station, kind: bundle?.kind ?? "" });
  overlay(main, rowsAt(await shownOver(walk), station));
  tellHeld(main, rowsAt(await heldOf(walk), station));
  return main;
}

/** Every station of a walk-round with its state, by number: what the plan draws. `shown`: the station on the page. */
export async function statesOf(walk, shown = null) {
  const [stations, rows] = await Promise.all([all("stations", ofWalk(walk)), shownOver(walk)]);
  const here = shown?.dataset.walk === walk ? Number(shown.dataset.station) : null;
  const stateOfOne = (one) => (one.number === here ? stateOf(shown) : stateAt(one, rowsAt(rows, one.number)));
  return Object.fromEntries(stations.map((one) => [one.number, stateOfOne(one)]));
}

/** As the server counted it, unless something waits here that it has not. */
function stateAt({ walk, number, html, state: counted }, rows) {
  if (!rows.length && counted) return counted;
  const name = `${walk}/${number}`;
  const stamp = rows.map(({ seq, state }) => `${seq}${state === "rejected" ? "!" : ""}`).join();
  const known = states.get(name);
  if (known?.html === html && known.stamp === stamp) return known.state;
  const main = parsed(html, { walk, station: number, kind: "" });
  overlay(main, rows);
  const state = stateOf(main);
  states.set(name, { html, stamp, state });
  return state;
}

/** The first station with something open, as the server would choose it. */
export async function goesOnAt(walk) {
  const found = Object.entries(await statesOf(walk)).map(([number, state]) => ({ number: Number(number), state }));
  return (found.find(({ state }) => state !== "done") ?? found.at(-1))?.number;
}
