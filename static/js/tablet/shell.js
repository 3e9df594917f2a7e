// The page without data: shows a station of the tablet's store, or the day with what can be begun and gone on with here.

import { kept as rows, keep } from "./outbox.js";
import { all, asked, get, meta, write } from "./store.js";
import { placeOf, refresh, show } from "./walk.js";
import { nowSaid, person } from "./who.js";
import { clock, pieceById, say } from "./words.js";

export async function open() {
  const who = document.getElementById("who");
  if (who) who.textContent = person().short_name;
  const place = placeOf(location.pathname);
  if (place && (await show(place, { push: false, anchor: location.hash, isFirst: true }))) refresh();
  else await showDay(Boolean(place) || !["/", "/shell/"].includes(location.pathname));
}

async function showDay(isElsewhere) {
  const [day, walks, waiting] = [await meta("day"), await all("walks"), await rows()];
  const main = document.getElementById("main");
  main.className = "door wide";
  const list = pieceById("day");
  list.querySelector("[data-elsewhere]").hidden = !isElsewhere;
  list.querySelector("[data-branch]").textContent = day?.branch?.name ?? day?.branch ?? "";
  const place = list.querySelector("[data-rows]");
  for (const row of day?.walks ?? []) place.append(drawn(row, walks, waiting));
  list.querySelector("[data-none]").hidden = Boolean(day?.walks.length);
  main.replaceChildren(list);
}

function drawn(row, walks, waiting) {
  const { unit, plate, customer, at, barred = "" } = row;
  const bundle = walks.find(({ walk }) => walk === row.walk);
  const made = pieceById(`day-${row.kind}`, { unit, plate, customer, barred, at: clock(at) });
  const begun = row.begun || Boolean(bundle?.begun);
  const isOver = bundle?.isOver || waiting.some(({ walk, kind }) => walk === row.walk && (kind === "hand-over" || kind === "take-back"));
  const name = !bundle ? "missing" : isOver ? "over" : begun ? "go-on" : "begin";
  for (const part of made.querySelectorAll("[data-can]")) if (part.dataset.can !== name) part.remove();
  const why = made.querySelector("[data-barred]");
  if (why) why.hidden = !barred || name !== "begin";
  const link = made.querySelector("a[data-can]");
  if (link) link.href = `/walk/${row.walk}/`;
  const form = made.querySelector("form");
  if (form) ready(form, row);
  return made;
}

function ready(form, row) {
  const arrived = form.elements.arrived_at;
  if (arrived) arrived.value = wallTime(new Date());
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    begin(form, row);
  });
}

function wallTime(now) {
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
}

/** The walk-round's key is the one that every tablet gives it: two that begin it begin one. */
async function begin(form, { walk, kind, unit, customer }) {
  const bundle = await get("walks", walk);
  const fields = { kind, ...Object.fromEntries(new FormData(form)) };
  await keep({
    key: walk, kind: "begin", walk, station: null, item: bundle.leg, fields, base: "", at: nowSaid(), part: "", by: person().short_name,
    what: say(`begin${kind[0].toUpperCase()}${kind.slice(1)}`, { unit, customer }), said: "",
  });
  await write(["walks"], async ({ walks }) => {
    const now = await asked(walks.get(walk));
    walks.put({ ...now, begun: true, begunHere: true });
  });
  await show({ walk, station: "" });
  document.dispatchEvent(new CustomEvent("tablet:kept", { detail: { walk, kind: "begin" } }));
}
