// What the server refused: its sentence at the row, what was typed still there. It can be answered anew, sent again or kept.

import { follow } from "./settling.js";
import { pieceById } from "./words.js";

/** Shows a refused entry in `main`, where it was answered. */
export function refuse(main, entry) {
  const form = formOf(main, entry);
  const part = form?.closest("[data-part]") ?? main.querySelector(`#${CSS.escape(entry.part)}`);
  if (!part || entry.isSeen) return;
  if (form) refill(form, entry);
  part.querySelector(`[data-refused="${entry.seq}"]`)?.remove();
  const say = pieceById("refused", { sentence: entry.sentence });
  if (!say) return;
  const made = part.ownerDocument.importNode(say, true);
  made.dataset.refused = String(entry.seq);
  if (entry.field) made.querySelector("[data-choices]")?.remove();
  (form?.closest("details") ? form : part).append(made);
}

/** A form that could have sent these fields: the one that has a place for each typed one. */
function formOf(main, { kind, item, fields, part }) {
  const forms = [...main.querySelectorAll(`form[data-kind="${kind}"]`)].filter((form) => (form.dataset.item || null) === item);
  const own = forms.filter((form) => !form.closest("#unseen"));
  const found = own.find((form) => fits(form, fields));
  if (found) return found;
  const place = main.querySelector(`#${CSS.escape(part)}`);
  if (place?.querySelector("template[data-when]")) follow(place, fields);
  return [...(place?.querySelectorAll(`form[data-kind="${kind}"]`) ?? own)].find((form) => fits(form, fields)) ?? own[0];
}

const SENT_ALONG = new Set(["seen_sha256", "shown", "seconds", "sha256", "size", "type", "taken_at", "width", "height"]);

function fits(form, fields) {
  return Object.keys(fields).every((name) => SENT_ALONG.has(name) || form.elements[name]);
}

function refill(form, { fields, field }) {
  for (const [name, value] of Object.entries(fields)) {
    const place = form.elements[name];
    if (!place || place instanceof RadioNodeList || place.type === "file" || place.tagName === "BUTTON") continue;
    if (place.type === "checkbox") place.checked = [value].flat().includes(place.value);
    else place.value = value;
    if (name === field && place.type !== "hidden") place.setAttribute("aria-invalid", "true");
    place.classList.remove("none");
  }
  form.closest("details")?.setAttribute("open", "");
  form.closest("details")?.removeAttribute("name");
}
