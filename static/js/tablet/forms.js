// Every form with data-kind is caught: `input` becomes a draft, `change` or `submit` an entry in the outbox. Where nothing
// can be kept the plain form is sent as without script, if there is a signal, and the page says so if there is none.

import { draftId, keepDraft } from "./drafts.js";
import { sha256, uuid7 } from "./keys.js";
import * as outbox from "./outbox.js";
import { hasRoomFor } from "./room.js";
import { fitsWhen, partOf, settle, unfold } from "./settling.js";
import { shownForSigning, unsigned } from "./signing.js";
import { nowSaid, person } from "./who.js";
import { pieceById, say } from "./words.js";

const NOT_FIELDS = new Set(["csrfmiddlewaretoken", "key", "key_customer", "key_staff", "shown_at"]);
const KEEPING = new WeakMap();
const LAST = new WeakMap();
const PLAIN = new WeakSet();
let pressed = 0;

export function catchForms() {
  document.addEventListener("input", ({ target }) => draft(target.form));
  document.addEventListener("change", changed);
  document.addEventListener("submit", submitted);
  document.addEventListener("click", offered);
  // A form is submitted after the click that does it: the finger counts.
  document.addEventListener("click", ({ timeStamp }) => { pressed = timeStamp; }, true);
  addEventListener("pagehide", () => document.querySelectorAll("form[data-at-once][data-dirty]").forEach((form) => keep(form)));
}

function isCaught(form) {
  return Boolean(form?.matches?.("main form[data-kind]"));
}

function draft(form, extra) {
  if (!isCaught(form)) return Promise.resolve();
  form.dataset.dirty = "";
  return keepDraft(form, extra).catch(() => hasRoomFor(1));
}

function changed(event) {
  const { form, name } = event.target;
  if (!isCaught(form)) return;
  if (name.startsWith("strokes")) draft(form, { shown: form.dataset.shown ?? "" });
  else if (form.matches("[data-at-once]") && isAnew(form)) keep(form, null, event);
}

function submitted(event) {
  const form = event.target;
  if (!isCaught(form) || PLAIN.has(form)) return;
  event.preventDefault();
  if (!form.matches("[data-at-once]") || isAnew(form)) keep(form, event.submitter, event);
}

/** A field that is left and a form that is sent may say the same: it was kept the first time. */
function isAnew(form) {
  return LAST.get(form) !== JSON.stringify(fieldsOf(form));
}

/** A press on the dashed figure of a Count says that it is so. */
function offered(event) {
  const field = event.target.closest?.("form[data-kind=count] input[readonly]");
  if (isCaught(field?.form)) keep(field.form, null, event);
}

/** The form's fields as it would post them, without what only the server's page needs. */
export function fieldsOf(form, submitter = null) {
  const fields = {};
  for (const [name, value] of new FormData(form, submitter)) {
    if (NOT_FIELDS.has(name) || value instanceof File) continue;
    fields[name] = name in fields ? [fields[name], value].flat() : value;
  }
  return fields;
}

/** One act at a time of a form; pressed twice before the first is kept, it is one act. */
function keep(form, submitter = null, event = null) {
  const fields = fieldsOf(form, submitter);
  const said = JSON.stringify(fields);
  const before = KEEPING.get(form);
  if (before?.said === said) return before.done;
  const done = (before?.done ?? Promise.resolve()).then(() => act(form, fields, submitter, event));
  KEEPING.set(form, { said, done });
  LAST.set(form, said);
  return done.catch((problem) => plainly(form, submitter, problem)).finally(() => {
    if (KEEPING.get(form)?.done === done) KEEPING.delete(form);
  });
}

async function act(form, fields, submitter, event) {
  const part = form.closest("[data-part]");
  if (asksFirst(part, fields) || waitsForSignatures(form)) return;
  const { entry, photo } = await entryOf(form, fields, submitter);
  if (!entry) return;
  if (photo && !(await hasRoomFor(photo.blob.size))) return;
  const main = form.closest("main");
  const { row, at } = await outbox.keep(entry, { draft: draftId(form), photo });
  measured(event, at, row.kind);
  delete form.dataset.dirty;
  settle(main, row);
  if (EMPTIED.has(row.kind)) empty(form);
  document.dispatchEvent(new CustomEvent("tablet:kept", { detail: row }));
}

/** From the finger to the disk, for whoever measures it. */
function measured(event, end, detail) {
  if (event) performance.measure("kept", { start: event.type === "submit" ? pressed : event.timeStamp, end, detail });
}

/** "Worse" asks for the size before anything is kept. */
function asksFirst(part, fields) {
  const template = [...(part?.querySelectorAll("template[data-asks]") ?? [])].find((one) => fitsWhen(one, fields));
  if (!template || template.dataset.asks in fields) return false;
  if (!part.querySelector(`[data-shown] [name="${template.dataset.asks}"]`)) {
    part.querySelectorAll("[data-shown]").forEach((old) => old.remove());
    unfold(template);
  }
  part.querySelector(`[name="${template.dataset.asks}"]`).focus();
  return true;
}

function waitsForSignatures(form) {
  form.querySelector("[data-unsigned]")?.remove();
  const who = unsigned(form);
  if (who.length) form.prepend(pieceById("unsigned", { sentence: say("unsigned", { who: who.join(", ") }) }));
  return who.length > 0;
}

async function entryOf(form, fields, submitter) {
  const { walk, station } = form.closest("main").dataset;
  const { kind, item = "" } = form.dataset;
  const part = partOf(kind, item);
  const asked = document.getElementById(kind === "topic" ? `topic-${item}` : part);
  const entry = {
    key: uuid7(), kind, walk, station: station === "sign" ? null : Number(station), item: item || null, fields,
    base: asked?.dataset.answer ?? "", at: nowSaid(), part, by: person().short_name,
    what: asked?.dataset.what ?? form.dataset.what ?? "", said: saidOf(form, fields, submitter),
  };
  if (kind === "mark") Object.assign(entry, markSaid(form));
  if (kind === "photo") return photoEntry(form, entry);
  if (kind === "hand-over") Object.assign(fields, shownForSigning(form));
  return { entry, photo: null };
}

/** The answer in the words of the page: what was pressed, what was typed with its unit. */
function saidOf(form, fields, submitter) {
  const part = form.closest("[data-part]");
  const pressed = submitter?.name ? submitter.dataset.said || submitter.textContent.trim() : "";
  const button = part?.querySelector(`.pair button[aria-label], .pair button[value="${CSS.escape(fields.word ?? fields.state ?? "")}"]`);
  const word = pressed || (fields.word || fields.state ? button?.textContent.trim() ?? "" : "");
  const typed = fields.typed ?? fields.text ?? (fields.present || fields.offered);
  const unit = typed && part?.dataset.unit ? ` ${part.dataset.unit}` : "";
  const more = [fields.note, fields.used, fields.size_mm && fields.word === "worse" ? `${fields.size_mm} mm` : ""];
  return [word || (typed ? `${typed}${unit}` : ""), ...more.flat()].filter(Boolean).join(", ");
}

function markSaid(form) {
  const chosen = (name) => form.elements[name].selectedOptions[0].textContent.trim();
  const { place, size_mm: size } = form.elements;
  return { what: `${chosen("kind")}, ${size.value} mm, ${place.value}`, said: form.dataset.said ?? "" };
}

/** The photo is made small and upright where the camera module is; its digest is the one of what is sent. */
async function photoEntry(form, entry) {
  const field = form.querySelector("input[type=file]");
  const taken = form.taken ?? (field.files[0] ? await prepared(field.files[0]) : null);
  // Without its bytes it would wait for them for ever.
  if (!taken) return {};
  const { blob, sha256: digest, taken_at: at = "", width = 0, height = 0 } = taken;
  Object.assign(entry.fields, {
    sha256: digest, size: String(blob.size), type: blob.type, taken_at: at, width: String(width), height: String(height),
  });
  entry.what = form.elements.subject?.selectedOptions?.[0]?.textContent.trim() ?? form.dataset.what ?? "";
  return { entry, photo: { walk: entry.walk, blob, sha256: digest, size: blob.size, complete: false, at: Date.now() } };
}

async function prepared(file) {
  try {
    const camera = await import("../camera.js");
    return await camera.prepare(file);
  } catch {
    // What the camera module cannot read goes as it is: the server says what it thinks of it.
    return { blob: file, sha256: await sha256(file), taken_at: "", width: 0, height: 0 };
  }
}

const EMPTIED = new Set(["mark", "photo", "remark"]);

function empty(form) {
  form.reset();
  form.closest("details")?.removeAttribute("open");
  form.querySelectorAll(".say").forEach((old) => old.remove());
}

/** The store took nothing: with a signal the form goes as without script. */
function plainly(form, submitter, problem) {
  console.warn("not kept on the tablet", problem);
  if (!navigator.onLine || !form.isConnected) return hasRoomFor(Infinity);
  PLAIN.add(form);
  form.requestSubmit(submitter?.isConnected ? submitter : null);
  return null;
}

/** What was set and not left before the page went away counts: it is kept when the page is back. */
export function keepRestored(forms) {
  return Promise.all(forms.filter((form) => form.matches("[data-at-once]")).map((form) => keep(form)));
}

