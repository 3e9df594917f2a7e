// Photos: made small and upright on the tablet, without their place, under the digest of exactly what is sent. At the
// return the photo from pickup lies over the live picture, so that both show the same.

import { piece } from "./tablet/words.js";

const LONGEST = 2560;
const QUALITY = 0.85;
const READY = new WeakMap();
let last = Promise.resolve();

/** {blob, sha256, taken_at, width, height} of a file: one after the other, as a large one takes 200 MB while it is drawn. */
export function prepare(file) {
  if (!READY.has(file)) {
    const made = last.then(() => madeOf(file));
    last = made.catch(() => {});
    READY.set(file, made);
  }
  return READY.get(file);
}

async function madeOf(file) {
  const taken_at = (await timeIn(file)) ?? new Date(file.lastModified || Date.now()).toISOString();
  const drawn = await drawnSmall(file);
  const { blob, width, height } = drawn ?? { blob: file, width: 0, height: 0 };
  return { blob, sha256: await digest(blob), taken_at, width, height };
}

/** Null for what this browser cannot show (HEIC in most): it goes as it is, and the server takes its place out. */
async function drawnSmall(file) {
  const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => null);
  if (!bitmap) return null;
  const scale = Math.min(1, LONGEST / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(bitmap.width * scale);
  canvas.height = Math.round(bitmap.height * scale);
  const pen = canvas.getContext("2d", { alpha: false });
  pen.imageSmoothingQuality = "high";
  pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
  const blob = await jpegOf(canvas);
  return blob && { blob, width: canvas.width, height: canvas.height };
}

function jpegOf(canvas) {
  return new Promise((done) => { canvas.toBlob(done, "image/jpeg", QUALITY); });
}

/** Empty where the page has no secure origin: the server then takes its own. */
async function digest(blob) {
  if (!crypto.subtle) return "";
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", await blob.arrayBuffer()));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

// ---- when it was taken: EXIF's DateTimeOriginal, with its offset if there is one, else by this tablet's zone

const INNER = 0x8769;
const ORIGINAL = 0x9003;
const OFFSET = 0x9011;

async function timeIn(file) {
  try {
    const view = new DataView(await file.slice(0, 128 * 1024).arrayBuffer());
    const start = exifOf(view);
    if (start === null) return null;
    const little = view.getUint16(start) === 0x4949;
    const outer = entriesAt(view, start, view.getUint32(start + 4, little), little);
    const inner = outer.has(INNER) ? entriesAt(view, start, view.getUint32(outer.get(INNER) + 8, little), little) : new Map();
    return instant(textAt(view, start, inner.get(ORIGINAL), little), textAt(view, start, inner.get(OFFSET), little));
  } catch {
    return null; // a block that ends early or points nowhere says no time
  }
}

/** Where the TIFF header of a JPEG's Exif block begins. */
function exifOf(view) {
  if (view.getUint16(0) !== 0xffd8) return null;
  for (let at = 2; view.getUint8(at) === 0xff; at += 2 + view.getUint16(at + 2)) {
    if (view.getUint8(at + 1) === 0xe1 && view.getUint32(at + 4) === 0x45786966) return at + 10;
    if (view.getUint8(at + 1) === 0xda) return null;
  }
  return null;
}

function entriesAt(view, start, offset, little) {
  const count = view.getUint16(start + offset, little);
  const places = Array.from({ length: count }, (_, index) => start + offset + 2 + 12 * index);
  return new Map(places.map((place) => [view.getUint16(place, little), place]));
}

function textAt(view, start, place, little) {
  if (place === undefined) return "";
  const length = view.getUint32(place + 4, little);
  const at = length > 4 ? start + view.getUint32(place + 8, little) : place + 8;
  return String.fromCharCode(...new Uint8Array(view.buffer, at, Math.min(length, 40))).replace(/\0.*$/s, "");
}

function instant(text, offset) {
  const found = /^(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)$/.exec(text);
  if (!found) return null;
  const zone = /^[+-]\d\d:\d\d$/.test(offset) ? offset : "";
  const when = new Date(`${found[1]}-${found[2]}-${found[3]}T${found[4]}${zone}`);
  return Number.isNaN(when.getTime()) ? null : when.toISOString();
}

// ---- a frame is pressed: a photo is taken, and sent without a further press

const TAKE = "input[type=file][data-take]";

// While the camera is open its frame is being filled, like a field that is typed in: the server's page leaves it alone.
document.addEventListener("click", ({ target }) => {
  if (target.matches?.(TAKE)) target.form.dataset.dirty = "";
}, true);
document.addEventListener("cancel", ({ target }) => {
  if (target.matches?.(TAKE)) delete target.form.dataset.dirty;
}, true);

document.addEventListener("change", async (event) => {
  const field = event.target;
  if (!field.matches?.(TAKE) || !field.files[0]) return;
  const { form } = field;
  form.setAttribute("aria-busy", "true");
  await prepare(field.files[0]).then((made) => fill(form, field, made), () => {});
  form.removeAttribute("aria-busy");
  form.requestSubmit();
});

/** What is sent stands in the form itself: with the outbox or without, the server gets the same. */
function fill(form, field, made) {
  const file = new File([made.blob], "photo.jpg", { type: made.blob.type, lastModified: Date.parse(made.taken_at) });
  const files = new DataTransfer();
  files.items.add(file);
  field.files = files.files;
  READY.set(field.files[0], Promise.resolve(made));
  for (const name of ["sha256", "taken_at"]) if (form.elements[name]) form.elements[name].value = made[name];
}

// ---- the live picture with the photo from pickup over it

let refused = false;

document.addEventListener("click", (event) => {
  const field = event.target.closest?.("input[type=file][data-ghost]");
  if (!field || refused || field.dataset.own === "" || !navigator.mediaDevices?.getUserMedia) return;
  const template = document.getElementById("viewfinder");
  if (!template) return;
  event.preventDefault();
  look(piece(template, { name: field.dataset.name, shows: field.dataset.shows }), field);
});

function look(dialog, field) {
  const video = dialog.querySelector("video");
  const ghost = dialog.querySelector("[data-over]");
  const shutter = dialog.querySelector("[data-shutter]");
  const strength = dialog.querySelector("input[type=range]");
  const fade = () => { ghost.style.opacity = String(strength.value / 100); };
  ghost.addEventListener("error", () => { ghost.src = field.dataset.ghostSmall; }, { once: true });
  ghost.src = field.dataset.ghost;
  fade();
  strength.addEventListener("input", fade);
  dialog.querySelector("[data-close]").addEventListener("click", () => dialog.close());
  dialog.querySelector("[data-own]").addEventListener("click", () => own(dialog, field));
  shutter.addEventListener("click", () => shoot(dialog, video, field));
  dialog.addEventListener("close", () => {
    video.srcObject?.getTracks().forEach((track) => track.stop());
    dialog.remove();
    if (!field.files.length) delete field.form.dataset.dirty;
    field.focus();
  });
  document.body.append(dialog);
  dialog.showModal();
  start(dialog, video, shutter);
}

async function start(dialog, video, shutter) {
  const wanted = { facingMode: "environment", width: { ideal: LONGEST }, height: { ideal: 1920 } };
  try {
    const stream = await navigator.mediaDevices.getUserMedia({ video: wanted, audio: false });
    video.srcObject = stream;
    await video.play();
    if (!dialog.open) stream.getTracks().forEach((track) => track.stop());
    shutter.disabled = false;
    shutter.focus();
  } catch {
    refused = true;
    dialog.querySelector("[data-no-camera]").hidden = false;
    dialog.querySelector(".finder").hidden = true;
    shutter.hidden = true;
    dialog.querySelector("[data-own]").focus();
  }
}

/** The tablet's own camera, or a photo that is here already: also where a page may show no camera. */
function own(dialog, field) {
  dialog.close();
  field.dataset.own = "";
  field.click();
  delete field.dataset.own;
}

async function shoot(dialog, video, field) {
  const canvas = document.createElement("canvas");
  canvas.width = video.videoWidth;
  canvas.height = video.videoHeight;
  canvas.getContext("2d", { alpha: false }).drawImage(video, 0, 0);
  const blob = await jpegOf(canvas);
  const files = new DataTransfer();
  files.items.add(new File([blob], "photo.jpg", { type: "image/jpeg", lastModified: Date.now() }));
  field.files = files.files;
  dialog.close();
  field.dispatchEvent(new Event("change", { bubbles: true }));
}
