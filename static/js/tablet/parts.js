// The server's HTML replaces what changed, part by part: never a part that is typed in, pressed on or just being kept.

const TYPES = "input:not([type=hidden]):not([readonly]), textarea, select";
// Made anew with every page and meaning nothing to the eye.
const PER_PAGE = /(name="(?:csrfmiddlewaretoken|key|key_customer|key_staff|shown_at)" value=")[^"]*"/g;
// What the person or a script has opened, moved or made ready: not a change of the server's.
const OWN = / (?:open|data-aiming|data-dirty|data-signature|data-moved|aria-valuenow|aria-valuetext|tabindex)="[^"]*"/g;

let under = null;

/** The parts directly inside, not those inside of those. */
function partsIn(part) {
  const all = [...part.querySelectorAll("[data-part][id]")];
  return all.filter((inner) => inner.parentElement.closest("[data-part][id]") === part || !part.contains(inner.parentElement.closest("[data-part][id]")));
}

function same(old, fresh) {
  return plain(old.outerHTML) === plain(fresh.outerHTML);
}

function plain(html) {
  return html.replace(PER_PAGE, '$1"').replace(/<canvas[^>]*>/g, "<canvas>").replace(OWN, "").replace(/\s+/g, " ");
}

/** A part without what is in its inner parts. */
function frame(part) {
  const copy = part.cloneNode(true);
  for (const inner of partsIn(copy)) inner.replaceChildren();
  for (const inner of partsIn(copy)) for (const { name } of [...inner.attributes]) if (name !== "id") inner.removeAttribute(name);
  return copy;
}

/** Someone types here or takes a photo, has typed and not kept it, or has a finger on it. */
function isTaken(part) {
  const field = document.activeElement;
  const typing = field?.matches(TYPES) && isInUse(field) && part.contains(field);
  return typing || Boolean(part.matches("[data-dirty]") || part.querySelector("[data-dirty]")) || (under !== null && part.contains(under));
}

/** A figure that is only stood in is free: what the server says of it must be seen there too, and the focus comes back.
 * A photo is for the place that was pressed: it is lost if that goes while the camera is open. */
function isInUse(field) {
  return field.type === "file" || field.value !== field.defaultValue;
}

// What a signature rests on, and the button that sends it: they change together or not at all.
const SIGNED = new Set(["look", "seen", "ending", "foot"]);

/** A look-through that is being signed, or that a finger is on, stays as it is until it is signed. */
function isFrozen(part) {
  if (!SIGNED.has(part.id)) return false;
  const isTouched = under !== null && ["look", "ending", "foot"].some((id) => document.getElementById(id)?.contains(under));
  return isTouched || Boolean(document.querySelector("#ending[data-dirty]"));
}

/** Brings `old`, in the page, to what `fresh` says. */
export function merge(old, fresh) {
  if (isFrozen(old) || same(old, fresh)) return;
  const inner = partsIn(fresh);
  const pairs = inner.map((part) => [partsIn(old).find(({ id }) => id === part.id), part]);
  const isWhole = inner.length > 0 && pairs.every(([was]) => was) && same(frame(old), frame(fresh));
  if (!isWhole && !isTaken(old)) swap(old, fresh);
  else for (const [was, part] of pairs) if (was) merge(was, part);
}

/** The main element stays, what it holds changes. */
export function mergeMain(main, fresh) {
  for (const part of [...fresh.children]) {
    const was = [...main.children].find(({ id }) => id && id === part.id);
    if (was) merge(was, part);
    else if (part.id && !isTaken(main)) main.append(part);
  }
}

function swap(old, fresh) {
  const focused = old.contains(document.activeElement) ? document.activeElement : null;
  const opened = [...old.querySelectorAll("details[open]")].map(nameOf);
  const isOpen = old.matches("details[open]");
  const part = document.adoptNode(fresh);
  for (const details of part.querySelectorAll("details")) if (opened.includes(nameOf(details))) details.open = true;
  if (isOpen) part.open = true;
  old.replaceWith(part);
  if (focused) again(part, focused);
}

function nameOf(details) {
  return `${details.id} ${details.querySelector("summary")?.textContent.trim()}`;
}

/** The focus comes back to what stands in the same place. */
function again(part, focused) {
  const twin = focused.id ? document.getElementById(focused.id) : nthOf(part, focused);
  twin?.focus({ preventScroll: true });
}

function nthOf(part, focused) {
  const { name, value } = focused;
  return name ? [...part.querySelectorAll(focused.tagName)].find((one) => one.name === name && one.value === value) : null;
}

// Between a finger's touch and its click the thing under it stays.
document.addEventListener("pointerdown", ({ target }) => {
  under = target;
});
for (const kind of ["pointerup", "pointercancel"]) {
  document.addEventListener(kind, () => setTimeout(() => {
    under = null;
  }, 60));
}
