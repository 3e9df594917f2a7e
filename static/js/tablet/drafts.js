// What is typed, drawn or set but not kept yet: on disk with every `input`, back in its form when the page is.

import { all, put, remove } from "./store.js";

/** Names a form on its page: the same after a reload. */
export function draftId(form) {
  const main = form.closest("main");
  const twins = [...main.querySelectorAll(`form[data-kind="${form.dataset.kind}"]`)].filter((other) => sameQuestion(other, form));
  const { walk, station } = main.dataset;
  return [walk, station, form.dataset.kind, form.dataset.item || "", shapeOf(form), twins.indexOf(form)].join("|");
}

function sameQuestion(one, other) {
  return one.dataset.kind === other.dataset.kind && one.dataset.item === other.dataset.item && shapeOf(one) === shapeOf(other);
}

/** The names a person can fill in: a row's two answers and its note are two forms. */
function shapeOf(form) {
  return [...new Set(typed(form).map((field) => field.name))].join("+");
}

function typed(form) {
  return [...form.elements].filter((field) => field.name && isTyped(field));
}

function isTyped(field) {
  if (field.tagName === "BUTTON" || field.type === "file") return false;
  return field.type !== "hidden" || field.name.startsWith("strokes");
}

export async function keepDraft(form, extra = {}) {
  const fields = typed(form).map((field) => ({ name: field.name, value: valueOf(field) }));
  const { walk, station } = form.closest("main").dataset;
  await put("drafts", { id: draftId(form), walk, station, fields, at: Date.now(), ...extra });
}

function valueOf(field) {
  return field.type === "checkbox" || field.type === "radio" ? field.checked : field.value;
}

export function dropDraft(form) {
  return remove("drafts", draftId(form));
}

export async function draftsOf(walk, station) {
  const rows = await all("drafts");
  return rows.filter((row) => row.walk === walk && row.station === String(station));
}

/** Puts drafts back into their forms; gives the forms that took one. */
export function restore(root, drafts) {
  if (!drafts.length) return [];
  const byId = new Map(drafts.map((draft) => [draft.id, draft]));
  return [...root.querySelectorAll("form[data-kind]")].filter((form) => {
    const draft = byId.get(draftId(form));
    if (!draft || !fits(form, draft)) return false;
    fill(form, draft.fields);
    form.closest("details")?.setAttribute("open", "");
    form.dataset.dirty = "";
    return true;
  });
}

/** A signature belongs to what was shown when it was drawn: over other content it is not put back. */
function fits(form, draft) {
  return draft.shown === undefined || draft.shown === (form.dataset.shown ?? "");
}

function fill(form, fields) {
  const left = [...fields];
  for (const field of typed(form)) {
    const place = left.findIndex(({ name }) => name === field.name);
    if (place < 0) continue;
    const [{ value }] = left.splice(place, 1);
    if (typeof value === "boolean") field.checked = value;
    else field.value = value;
    field.classList.remove("none");
  }
}
