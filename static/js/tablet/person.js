// A shared tablet: the name in the masthead, a name of the list, the PIN; and the lock after minutes without a touch.
// Both stand in place of the work and not over it: the page under it stays as it was left, with all that was typed.

import { NotNow, change, hello, lastHello, sendJson } from "./net.js";
import { idleMinutes, keepSealed, keptPeople, openSealed, peopleHere } from "./people.js";
import { person, recall, takesOver } from "./who.js";
import { pieceById } from "./words.js";

const LOCKED = "levelpeg.locked";
const LOOK_EVERY_MS = 10_000;
const root = document.documentElement;
let touched = Date.now();
let left = null;
const recalled = recall();

/** "told": the server knows that it is locked; "here": only this tablet does yet. */
function lockedAs() {
  return localStorage.getItem(LOCKED) ?? "";
}

async function show({ locked = false, again = false } = {}) {
  await recalled;
  const known = await keptPeople();
  const people = known.length ? known : (await peopleHere()).people;
  if (!people.length || !document.getElementById("who-is-here")) return false;
  close();
  left = document.activeElement;
  const section = pieceById("who-is-here", {});
  section.querySelector("[data-when-locked]").hidden = !locked || again;
  section.querySelector("[data-when-again]").hidden = !again;
  for (const part of section.querySelectorAll("[data-own], [data-lock], [data-back]")) part.hidden = locked;
  const own = section.querySelector("[data-own]");
  own.textContent = filled(section.dataset.pageOf, { name: person().short_name });
  section.querySelector("[data-else]").search += `&next=${encodeURIComponent(location.pathname)}`;
  list(section, people);
  if (known.length) peopleHere().then((said) => list(section, said.people));
  document.querySelector("header.mast").after(section);
  root.dataset.who = locked ? "locked" : "asked";
  section.querySelector("h1").focus();
  return true;
}

function list(section, people) {
  section.querySelector("[data-people]").replaceChildren(...people.map((one) => rowOf(section, one)));
}

function rowOf(section, one) {
  const row = pieceById("who-person", { name: one.name, by: one.by_pin ? section.dataset.pin : section.dataset.password });
  row.querySelector("button").addEventListener("click", () => askSecret(section, one));
  return row;
}

/** The second tap: one field, for the PIN or, where that is not to be had, the password. */
function askSecret(section, one) {
  const form = section.querySelector("[data-secret]");
  const field = form.elements.secret;
  form.hidden = false;
  section.querySelector("[data-people]").hidden = true;
  form.querySelector('[data-slot="name"]').textContent = one.name;
  form.querySelector("label").textContent = one.by_pin ? section.dataset.pin : section.dataset.password;
  field.inputMode = one.by_pin ? "numeric" : "text";
  field.value = "";
  say(form, "");
  form.onsubmit = (event) => {
    event.preventDefault();
    takeOver(section, one, field.value);
  };
  field.focus();
}

function askAnother(section) {
  section.querySelector("[data-secret]").hidden = true;
  section.querySelector("[data-people]").hidden = false;
  section.querySelector("[data-people] button")?.focus();
}

function say(form, sentence) {
  const why = form.querySelector("[data-why]");
  why.hidden = !sentence;
  why.firstElementChild.textContent = sentence;
  form.elements.secret.setAttribute("aria-invalid", String(Boolean(sentence)));
}

async function takeOver(section, one, secret) {
  const form = section.querySelector("[data-secret]");
  const button = form.querySelector("button");
  if (button.disabled) return;
  button.disabled = true;
  try {
    await withSignal(form, one, secret);
  } catch (problem) {
    if (!(problem instanceof NotNow)) throw problem;
    await withoutSignal(section, form, one, secret);
  } finally {
    button.disabled = false;
  }
}

async function withSignal(form, one, secret) {
  const was = document.querySelector("[data-person]")?.dataset.person || person().id;
  const why = await change(one.by_pin ? { person: one.id, pin: secret } : { person: one.id, password: secret });
  if (why) {
    // After the fifth the list says password.
    const now = (await peopleHere()).people.find(({ id }) => id === one.id);
    if (now && now.by_pin !== one.by_pin) askSecret(form.closest("section"), now);
    return say(form, why);
  }
  const said = lastHello();
  if (one.by_pin) await keepSealed(one, said.token, secret);
  await takesOver({ ...said.person, token: said.token });
  unlocked();
  for (const field of document.querySelectorAll("input[name=csrfmiddlewaretoken]")) field.value = said.csrf;
  // Another person may do other things here: the page is fetched anew, at the same place, with the drafts it had.
  if (was && was !== one.id) return location.reload();
  return close();
}

/** The entries carry the right name from now on; the session is asked for again when there is a signal. */
async function withoutSignal(section, form, one, secret) {
  const { token, why, left: tries } = await openSealed(one.id, secret);
  if (why) return say(form, filled(section.dataset[why], { name: one.name, left: tries }));
  await takesOver({ id: one.id, name: one.name, short_name: one.short_name, token, isPending: one.id !== lastHello()?.person?.id });
  unlocked();
  showName();
  return close();
}

function filled(pattern, values) {
  return pattern.replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");
}

function showName() {
  const place = document.querySelector("[data-person]");
  if (!place) return;
  place.textContent = person().short_name;
  place.dataset.person = person().id;
}

function close() {
  document.querySelector("section.who")?.remove();
  delete root.dataset.who;
  touched = Date.now();
  if (left?.isConnected) left.focus({ preventScroll: true });
}

function unlocked() {
  localStorage.removeItem(LOCKED);
}

async function lock() {
  if (root.dataset.who === "locked" || !(await show({ locked: true }))) return;
  if (!lockedAs()) localStorage.setItem(LOCKED, "here");
  await tellLock();
}

async function tellLock() {
  try {
    const answer = await sendJson("/tablet/lock/", {});
    if (answer.ok && lockedAs()) localStorage.setItem(LOCKED, "told");
  } catch {
    // Without a signal it is locked here; a page that is loaded later finds the note.
  }
}

/** Alone on a device and without a PIN there is nobody to hand it on to, and nothing to open it with but the password. */
async function isShared() {
  const people = await keptPeople();
  return people.length > 1 || people.some((one) => one.by_pin);
}

async function lockWhenIdle() {
  const minutes = await idleMinutes();
  if (!minutes || root.dataset.who === "locked" || Date.now() - touched < minutes * 60_000) return;
  if (await isShared()) await lock();
  else touched = Date.now();
}

function watchTouches() {
  const now = () => {
    touched = Date.now();
  };
  for (const kind of ["pointerdown", "keydown", "input", "wheel"]) addEventListener(kind, now, { passive: true, capture: true });
  setInterval(lockWhenIdle, LOOK_EVERY_MS);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && lockWhenIdle());
  // One tab locks or opens all of them.
  addEventListener("storage", ({ key, newValue }) => {
    if (key !== LOCKED) return;
    if (newValue === "here") show({ locked: true });
    else if (!newValue && root.dataset.who === "locked") location.reload();
  });
}

function press(event) {
  const button = event.target.closest?.("a[data-person], section.who :is([data-back], [data-lock], [data-another])");
  if (!button || event.ctrlKey || event.metaKey) return;
  if (button.matches("[data-back]")) return close();
  if (button.matches("[data-lock]")) return lock();
  if (button.matches("[data-another]")) return askAnother(button.closest("section"));
  event.preventDefault();
  // Where nobody is known, or nothing can be kept, the plain page does the same.
  return show().then((isShown) => isShown || location.assign(button.href), () => location.assign(button.href));
}

/** The PIN set on one's own page opens this tablet without a signal from then on. */
async function keepPin(event) {
  const form = event.target;
  if (!form.matches?.("form[data-pin]")) return;
  event.preventDefault();
  const pin = form.elements.pin.value;
  try {
    const answer = await fetch(form.action, { method: "POST", body: new FormData(form), redirect: "manual" });
    if (answer.type !== "opaqueredirect") return form.submit();
    const said = await hello();
    await peopleHere();
    if (said.person) await keepSealed(said.person, said.token, pin);
    form.reset();
    return location.reload();
  } catch {
    return form.submit();
  }
}

async function start() {
  // Before anything is waited for: a name pressed early would be the plain link to a page that may be out of reach.
  document.addEventListener("click", press);
  await recalled;
  const isShell = "shell" in root.dataset;
  // A page that the server gives out says that the server knows of no lock.
  if (lockedAs() === "told" && !isShell) unlocked();
  document.addEventListener("submit", keepPin);
  watchTouches();
  if (lockedAs()) {
    await show({ locked: true });
    if (lockedAs() === "here") await tellLock();
    return;
  }
  if (isShell) return showName();
  if (person().isPending) await show({ locked: true, again: true });
  else await peopleHere();
}

start();
