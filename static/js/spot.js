// A mark on a photo: while a form asks for it, the photos of the station stand in it, also those not sent yet; a tap says
// where. What is kept are thousandths of width and height, so that the ring fits the photo in every size.

const WHOLE = 1000;
const RING = 55;

/** One that is folded away is told by its details: to ask what can be seen the page must be laid out, at every press. */
function openFields() {
  const places = [...document.querySelectorAll("fieldset[data-spot]")].filter((place) => !place.closest("details:not([open])"));
  return places.filter((place) => place.closest("form")?.checkVisibility());
}

/** One that is not sent yet bears its id; one that is, the address it leads to. */
function idOf(img) {
  return img.dataset.photo || img.closest("a")?.pathname.match(/^\/photo\/([0-9a-f-]{36})\//)?.[1] || "";
}

/** Photos of the station by their id: those the form knows, then those that stand in the page and are not sent yet. */
function photosFor(fieldset) {
  const known = [...fieldset.querySelectorAll("option[data-src]")].map(({ value, dataset, textContent }) => [value, dataset.src, textContent]);
  const shown = [...document.querySelectorAll("#photos img")].filter(({ src }) => src).map((img) => [idOf(img), img.src, img.alt]);
  return new Map([...shown, ...known].filter(([id]) => id).map(([id, src, alt]) => [id, { src, alt }]));
}

/** Where the rings of a fieldset are drawn: on the photos in it, or on the one large photo of the page. */
function shotsOf(fieldset) {
  return fieldset.dataset.on ? [document.querySelector(fieldset.dataset.on)] : [...fieldset.querySelectorAll("[data-id]")];
}

function fill(fieldset) {
  if (fieldset.dataset.on) return show(fieldset);
  const photos = photosFor(fieldset);
  const strip = fieldset.querySelector("[data-strip]");
  const select = fieldset.querySelector("select");
  fieldset.hidden = photos.size === 0;
  strip.hidden = photos.size === 0;
  for (const [id, { src, alt }] of photos) {
    if (strip.querySelector(`[data-id="${CSS.escape(id)}"]`)) continue;
    const made = fieldset.querySelector("template").content.firstElementChild.cloneNode(true);
    made.dataset.id = id;
    made.querySelector("img").src = src;
    made.setAttribute("aria-label", `${made.getAttribute("aria-label")}: ${alt}`);
    strip.append(made);
    if (![...select.options].some(({ value }) => value === id)) select.add(new Option(alt, id));
  }
  show(fieldset);
}

/** The ring stands where the fields say, on the photo that is chosen. */
function show(fieldset) {
  const [photo, x, y] = ["photo", "photo_x", "photo_y"].map((name) => fieldset.querySelector(`[name="${name}"]`).value);
  for (const shot of shotsOf(fieldset)) {
    const isIt = !shot.dataset.id || shot.dataset.id === photo;
    const isHere = isIt && x !== "" && y !== "";
    if (shot.dataset.id) shot.setAttribute("aria-pressed", String(isIt));
    const { width = 1, height = 1 } = shot.querySelector("img").getBoundingClientRect();
    const r = isHere ? { rx: RING, ry: Math.round((RING * width) / (height || 1)) } : { rx: 0, ry: 0 };
    for (const ring of shot.querySelectorAll("ellipse")) {
      for (const [name, value] of Object.entries({ cx: x || 0, cy: y || 0, ...r })) ring.setAttribute(name, value);
    }
  }
}

function put(fieldset, values) {
  for (const [name, value] of Object.entries(values)) if (value !== undefined) fieldset.querySelector(`[name="${name}"]`).value = value;
  fieldset.querySelector('[name="photo"]').dispatchEvent(new Event("input", { bubbles: true }));
  show(fieldset);
}

/** The fieldset that a tap on this photo is for. */
function askedBy(shot) {
  return shot.dataset.id ? shot.closest("fieldset") : openFields().find(({ dataset }) => dataset.on === `#${shot.id}`);
}

function tapped(event) {
  const shot = event.target.closest?.("fieldset[data-spot] [data-id], .ringed[id]");
  const fieldset = shot && askedBy(shot);
  if (!fieldset) return;
  event.preventDefault();
  const box = shot.querySelector("img").getBoundingClientRect();
  // By keyboard it is chosen, and the ring begins in the middle: the fields below move it.
  const isByKey = event.detail === 0;
  const part = (from, size) => Math.min(Math.max(Math.round((from / size) * WHOLE), 0), WHOLE);
  put(fieldset, {
    photo: shot.dataset.id,
    photo_x: isByKey ? WHOLE / 2 : part(event.clientX - box.left, box.width),
    photo_y: isByKey ? WHOLE / 2 : part(event.clientY - box.top, box.height),
  });
}

document.addEventListener("click", tapped);
document.addEventListener("input", ({ target }) => {
  const fieldset = target.closest?.("fieldset[data-spot]");
  if (fieldset) show(fieldset);
});
const fillAll = () => openFields().forEach(fill);
document.addEventListener("toggle", fillAll, true);
for (const kind of ["tablet:shown", "tablet:kept"]) document.addEventListener(kind, fillAll);
// "Worse" unfolds its form after the press.
document.addEventListener("click", () => requestAnimationFrame(fillAll));
fillAll();
