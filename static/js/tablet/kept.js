// Where work is, in words in the masthead, and the list of what is not sent: what, where, when, and why not.

import { uuid7 } from "./keys.js";
import { heldOf, kept, onChange, sendAgain, setAside } from "./outbox.js";
import { signIn, whyStopped } from "./net.js";
import { drain } from "./sending.js";
import { asked, write } from "./store.js";
import { clock, pieceById, say } from "./words.js";

const LOOKS = ["sent", "part", "clash"];
let update = null;

export function showKept() {
  onChange(show);
  for (const event of ["tablet:network", "tablet:shown"]) document.addEventListener(event, show);
  addEventListener("online", show);
  document.addEventListener("click", pressed);
  document.addEventListener("submit", signedIn);
  return show();
}

/** A newer version waits; `press` makes it the one in use. */
export function offerUpdate(press) {
  update = press;
  show();
}

async function show() {
  const rows = await kept();
  const place = document.getElementById("kept");
  if (!place) return;
  const [words, look] = standing(rows);
  if (place.textContent !== words) place.textContent = words;
  for (const name of LOOKS) place.classList.toggle(name, name === look);
  const door = document.getElementById("sign-in-here");
  if (door) door.hidden = whyStopped() !== "sign-in" || !rows.length;
  const ready = document.getElementById("update-ready");
  if (ready) ready.hidden = !update || rows.length > 0;
  await list(rows);
}

/** The words and the shape: what a person has to do comes first, then what the tablet does. */
function standing(rows) {
  const refused = rows.filter(({ state }) => state === "rejected").length;
  const waiting = rows.length - refused;
  const why = whyStopped();
  if (refused) return [say("refused", { n: refused }), "clash"];
  if (why === "sign-in" && waiting) return [say("signIn", { n: waiting }), "clash"];
  const twice = document.querySelector("main .picking");
  if (twice) return [say("clash", { n: twice.querySelectorAll("form").length || 2 }), "clash"];
  if (why === "signal") return [say("offline", { n: waiting }), ""];
  return waiting ? [say("unsent", { n: waiting }), "part"] : [say("sent"), "sent"];
}

async function list(rows) {
  const place = document.querySelector("#kept-list [data-rows]");
  if (!place || document.getElementById("kept-list").hidden) return;
  const held = await heldOf();
  place.replaceChildren(...[...rows, ...held].map(drawn));
  document.querySelector("#kept-list [data-none]").hidden = rows.length + held.length > 0;
}

function drawn(row) {
  const words = { what: row.what || say(`kind-${row.kind}`.replace(/-(\w)/g, (_, letter) => letter.toUpperCase())), said: row.said, at: clock(row.at) };
  const made = pieceById(`kept-${row.state === "rejected" || row.state === "held" ? row.state : "waiting"}`, { ...words, sentence: row.sentence });
  made.dataset.seq = row.seq;
  const link = made.querySelector("a[data-there]");
  if (link) link.href = row.station === null ? `/walk/${row.walk}/sign/` : `/walk/${row.walk}/station/${row.station}/#${row.part}`;
  return made;
}

async function pressed({ target }) {
  const button = target.closest?.("#kept, [data-choice], #update-ready");
  if (!button) return;
  if (button.id === "kept") await unfold(button);
  else if (button.id === "update-ready") update?.();
  else await choose(button);
}

async function unfold(button) {
  const place = document.getElementById("kept-list");
  place.hidden = !place.hidden;
  button.setAttribute("aria-expanded", String(!place.hidden));
  await list(await kept());
}

async function choose(button) {
  const seq = Number(button.closest("[data-seq]")?.dataset.seq ?? button.closest("[data-refused]")?.dataset.refused);
  if (button.dataset.choice === "again") {
    await sendAgain(seq, uuid7());
    drain();
  } else if (button.dataset.choice === "aside") await setAside(seq);
  else {
    button.closest("[data-refused]").remove();
    await write(["outbox"], async ({ outbox }) => {
      const row = await asked(outbox.get(seq));
      if (row) outbox.put({ ...row, isSeen: true });
    });
  }
}

async function signedIn(event) {
  const form = event.target;
  if (!form.matches("#sign-in-here form")) return;
  event.preventDefault();
  const { username, password } = form.elements;
  const why = await signIn(username.value, password.value).catch(() => say("offline"));
  const place = form.querySelector("[data-why]");
  place.hidden = !why;
  place.firstElementChild.textContent = why;
  if (why) return;
  form.reset();
  drain();
}
