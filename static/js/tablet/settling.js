// An answer shows at once, before the server has it: one function a kind. They work on the page and on a copy of it alike.

import "../briefing.js";
import { progress } from "./progress.js";
import { clock, piece, say } from "./words.js";

const KINDS = {
  check: answered,
  seal: answered,
  judge: answered,
  count: counted,
  reading: read,
  topic: heard,
  mark: pinned,
  rest: repeated,
  photo: shot,
  remark: remarked,
  release: released,
  "hand-over": ended,
  "take-back": ended,
};
const PREFIX = { check: "check", seal: "seal", judge: "mark", count: "count", reading: "reading" };
const PLACES = { topic: "topic", language: "topic", mark: "marks", photo: "photos", remark: "said", rest: "rest", release: "go", language: "language" };

/** The id of the part that an answer belongs to. */
export function partOf(kind, item) {
  return PREFIX[kind] ? `${PREFIX[kind]}-${item}` : (PLACES[kind] ?? "ending");
}

/** Shows an entry in `main`, an element that is the station or a copy of it. */
export function settle(main, entry) {
  enter(main, entry);
  progress(main);
}

/** The same without its headings: for one of many, which are counted at their end. */
export function enter(main, entry) {
  KINDS[entry.kind]?.(main, entry);
  if (entry.html) asDrawn(main, entry);
}

/** The row of a Reading with what it means, which the server reckons. */
function asDrawn(main, { part, html }) {
  const template = main.ownerDocument.createElement("template");
  template.innerHTML = html;
  find(main, part)?.replaceWith(template.content.firstElementChild);
}

function find(main, id) {
  return main.querySelector(`#${CSS.escape(id)}`);
}

/** As a value and as an attribute: the page is compared with the server's by what is written. */
function write(field, value) {
  field.value = value;
  field.setAttribute("value", value);
  field.classList.remove("none");
}

/** The part remembers what was said, by whom and when, and what it said before. */
function note(main, part, entry, said = entry.said) {
  const before = { ...part.dataset };
  part.querySelectorAll(":scope > .say, :scope > .shown > .say").forEach((old) => old.remove());
  Object.assign(part.dataset, { answer: entry.key, said, at: clock(entry.at, main.dataset.zone), by: entry.by });
  stamp(part, entry);
  for (const field of part.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
  for (const button of main.querySelectorAll(`#unseen form[data-item="${entry.item}"] button`)) {
    button.setAttribute("aria-pressed", String(entry.fields[button.name] === button.value));
  }
  if (before.answer && before.said && before.said !== said) was(part, before);
}

/** Marked until the server has it. */
function stamp(part, { state }) {
  if (state === "ok") delete part.dataset.unsent;
  else part.dataset.unsent = "";
}

function was(part, { said, at, by }) {
  part.querySelector("[data-was]")?.remove();
  const line = part.ownerDocument.createElement("p");
  line.className = "was";
  line.dataset.was = "";
  line.textContent = say("was", { said, at, by });
  part.append(line);
}

/** Check, Seal, known Mark: one of two words, and what it brings with it. */
function answered(main, entry) {
  const part = find(main, partOf(entry.kind, entry.item));
  if (!part) return;
  const { fields } = entry;
  for (const button of part.querySelectorAll(".pair button[name]")) {
    button.setAttribute("aria-pressed", String(fields[button.name] === button.value));
    button.classList.remove("before");
  }
  follow(part, fields);
  note(main, part, entry);
  if (part.dataset.stop) hold(main, part, fields.word);
}

/** What stands by as a template for this answer comes in, what another brought goes. */
export function follow(part, fields) {
  part.querySelectorAll("[data-shown]").forEach((old) => old.remove());
  for (const template of part.querySelectorAll("template[data-when]")) {
    if (!fitsWhen(template, fields)) continue;
    const place = unfold(template);
    fillIn(place, fields);
  }
}

export function fitsWhen(template, fields) {
  const [name, value] = template.dataset.when.split("=");
  return value !== undefined && fields[name] === value;
}

export function unfold(template) {
  const place = template.ownerDocument.createElement("div");
  place.className = "shown";
  place.dataset.shown = "";
  place.append(template.content.cloneNode(true));
  template.after(place);
  return place;
}

function fillIn(place, fields) {
  for (const field of place.querySelectorAll("input:not([type=hidden]), textarea")) {
    const given = [fields[field.name] ?? []].flat();
    if (field.type === "checkbox") field.checked = given.includes(field.value);
    else if (given.length) [field.value] = given;
  }
}

/** At a pickup a bad answer to a safety check takes the way on; a good one gives it back. */
function hold(main, part, word) {
  const go = find(main, "go");
  const isHeld = go?.matches("[data-held]");
  if (word === "bad" && !isHeld) way(main, "held", { stop: part.dataset.stop }, part.id);
  else if (word === "good" && isHeld && [part.id, ""].includes(go.dataset.held)) way(main, "free");
}

function way(main, name, values = {}, by = "") {
  const template = main.querySelector(`template[data-go="${name}"]`);
  const go = find(main, "go");
  if (!template || !go) return;
  const made = piece(template, values);
  if (name === "held") made.dataset.held = by;
  // Of a hold that only this tablet knows of, the question stands for it.
  const release = made.querySelector("form");
  if (release && by) release.dataset.item = itemOf({ id: by });
  go.replaceWith(made);
}

function released(main) {
  way(main, "free");
}

function counted(main, entry) {
  const part = find(main, partOf("count", entry.item));
  if (!part) return;
  const present = entry.fields.present || entry.fields.offered;
  const field = part.querySelector("input[name=present]");
  if (field && present !== "none") {
    write(field, present);
    field.readOnly = false;
    field.setAttribute("aria-label", part.dataset.what);
  }
  note(main, part, entry);
}

function read(main, entry) {
  const part = find(main, partOf("reading", entry.item));
  if (!part) return;
  const field = part.querySelector("input[name=typed]");
  if (field && entry.fields.typed !== undefined) write(field, entry.fields.typed);
  const word = part.querySelector("[data-word]");
  if (word) word.textContent = entry.fields.state ? entry.said : part.dataset.read;
  note(main, part, entry);
  if (part.dataset.stop) hold(main, part, judged(part.dataset, entry.fields));
}

/** A plain figure beyond the limit is bad, within it good; a word or a figure with a unit is for the server to judge. */
function judged({ stopUnder, stopOver }, { state, typed = "" }) {
  if ((state && state !== "read") || !/^\d+([.,]\d+)?$/.test(typed.trim())) return "";
  const value = Number(typed.trim().replace(",", "."));
  return value < Number(stopUnder ?? 0) || value > Number(stopOver ?? Infinity) ? "bad" : "good";
}

/** The next Topic takes the place of the one that was heard; in which language is no question any more. */
function heard(main, entry) {
  const part = find(main, "topic");
  part?.querySelector("#language")?.removeAttribute("open");
  const marker = find(main, `topic-${entry.item}`);
  if (marker) note(main, marker, entry);
  if (!part) return;
  const line = part.ownerDocument.createElement("p");
  line.className = "was";
  line.textContent = say("heard", { what: entry.what, said: entry.said, at: clock(entry.at, main.dataset.zone) });
  part.append(line);
  const shown = part.querySelector("[data-shown]");
  if (!shown?.querySelector(`form[data-item="${entry.item}"]`)) return;
  const next = part.querySelector('template[data-when="next"]') ?? part.querySelector('template[data-when="settled"]');
  if (!next) return;
  shown.remove();
  unfold(next);
  part.classList.toggle("settled", next.dataset.when === "settled");
  if (next.dataset.when === "next") next.remove();
}

/** A new Mark stands in the list and on the plan; its number comes from the server. */
function pinned(main, entry) {
  const part = find(main, "marks");
  const template = part?.querySelector('template[data-when="mark"]');
  if (!template) return;
  const row = piece(template, { what: entry.what, at: clock(entry.at, main.dataset.zone) });
  row.id = `mark-${entry.key}`;
  Object.assign(row.dataset, { part: "", asked: "mark", what: entry.what, answer: entry.key, said: entry.said });
  stamp(row, entry);
  part.querySelector(":scope > [data-nothing]")?.remove();
  part.append(row);
  pin(main.querySelector("svg.plan[data-scale]"), entry);
}

function pin(plan, { fields, what, key }) {
  if (!plan) return;
  plan.querySelector(".aim")?.remove();
  const { scale, middle, top } = plan.dataset;
  const svg = (name, attributes) => {
    const made = plan.ownerDocument.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [attribute, value] of Object.entries(attributes)) made.setAttribute(attribute, value);
    return made;
  };
  const place = { x: Number(middle) + fields.x_mm * scale, y: Number(top) + fields.y_mm * scale };
  const link = svg("a", { class: "mark new", href: `#mark-${key}`, "aria-label": what });
  const inside = svg("g", { transform: `translate(${place.x} ${place.y})` });
  inside.append(svg("rect", { class: "hit", x: -34, y: -34, width: 68, height: 68 }), svg("circle", { r: 14 }));
  link.append(inside);
  plan.querySelector(".peg")?.before(link);
}

/** Every offered answer is given, but those to safety checks and topics: none is offered there. */
function repeated(main, entry) {
  for (const button of main.querySelectorAll(".pair button.before")) {
    const part = button.closest("[data-part]");
    if (part.dataset.answer) continue;
    const said = button.textContent.trim();
    answered(main, { ...entry, kind: part.dataset.asked, item: itemOf(part), said, fields: { [button.name]: button.value } });
  }
  for (const part of main.querySelectorAll('[data-asked="count"][data-before]:not([data-answer])')) {
    const present = part.querySelector("input[name=offered]")?.value ?? "";
    counted(main, { ...entry, kind: "count", item: itemOf(part), said: present, fields: { present } });
  }
  for (const part of main.querySelectorAll('[data-asked="mark"]:not([data-answer])')) {
    const button = part.querySelector('button[value="as_was"]');
    if (button) answered(main, { ...entry, kind: "judge", item: itemOf(part), said: button.textContent.trim(), fields: { word: "as_was" } });
  }
  find(main, "rest")?.replaceChildren();
}

function itemOf(part) {
  return part.id.slice(part.id.indexOf("-") + 1);
}

function shot(main, entry) {
  const part = find(main, "photos");
  const template = part?.querySelector('template[data-when="photo"]');
  if (!template) return;
  const made = piece(template, {});
  stamp(made, entry);
  const image = made.querySelector("img");
  image.dataset.photo = entry.key;
  const asked = find(main, `view-${entry.fields.subject}`);
  if (asked) note(main, asked, entry, entry.fields.sha256);
  image.alt = entry.what;
  part.hidden = false;
  const frame = entry.fields.subject && find(main, `frame-${entry.fields.subject}`);
  if (frame) {
    stamp(frame, entry);
    frame.classList.add("taken");
    showIn(frame.querySelector(".shown"), image, entry);
    return;
  }
  (part.querySelector(".shots") ?? part).append(made);
  showIn(made, image, entry);
}

/** What the server has can be looked at whole, by the key it was sent under. */
function showIn(place, image, { key, state }) {
  place.replaceChildren(image);
  if (state !== "ok") return;
  const link = place.ownerDocument.createElement("a");
  link.href = `/photo/${key}/look/`;
  if (place.matches(".shown")) link.className = "shown";
  link.append(image);
  place.replaceWith(link);
}

function remarked(main, entry) {
  const part = find(main, "said");
  const template = part?.querySelector('template[data-when="remark"]');
  if (!template) return;
  const row = piece(template, { said: entry.said, by: entry.by });
  stamp(row, entry);
  template.before(row);
}

function ended(main) {
  for (const id of ["ending", "foot"]) {
    const part = find(main, id);
    const template = main.querySelector(`template[data-ended="${id}"]`);
    if (part && template) part.replaceWith(piece(template));
  }
}
