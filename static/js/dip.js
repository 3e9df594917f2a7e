// Dip-stick: a drag sets it roughly, the stepper finely, both are one Reading. The stick and its input follow each
// other; the exact drawing, band and doubt come from the server when the Reading is kept.

import { digits, put, settle, standing } from "./step.js";

function inputOf(stick) {
  return document.getElementById(stick.dataset.input);
}

function stickOf(input) {
  return input.id ? document.querySelector(`svg[data-dip][data-input="${CSS.escape(input.id)}"]`) : null;
}

function scaleOf(stick) {
  const { low, full, top, bottom, offset } = stick.dataset;
  return { low: Number(low), full: Number(full), top: Number(top), bottom: Number(bottom), offset: Number(offset) };
}

function levelAt(stick, clientY) {
  const { low, full, top, bottom } = scaleOf(stick);
  const matrix = stick.getScreenCTM();
  const y = (clientY - matrix.f) / matrix.d;
  return Math.min(Math.max(full - ((y - top) / (bottom - top)) * (full - low), low), full);
}

/** Moves the flag, its words and the wet part to a level. */
function show(stick, level, places) {
  const { low, full, top, bottom } = scaleOf(stick);
  const kept = Math.min(Math.max(level, low), full);
  const y = bottom + ((kept - low) / (full - low)) * (top - bottom);
  const flag = stick.querySelector(`[data-part="${stick.dataset.dip === "back" ? "back" : "out"}"]`);
  const wet = stick.querySelector('[data-part="wet"]');
  flag.setAttribute("transform", `translate(0 ${y.toFixed(1)})`);
  flag.querySelector("text").textContent = level.toFixed(places);
  wet.setAttribute("d", wet.getAttribute("d").replace(/^M(\S+) \S+/, `M$1 ${y.toFixed(1)}`));
  flag.classList.remove("unset");
  wet.classList.remove("unset");
  wet.classList.toggle("came", stick.dataset.dip === "back");
  stick.dataset.moved = "";
  stick.setAttribute("aria-valuenow", level.toFixed(places));
  stick.setAttribute("aria-valuetext", `${level.toFixed(places)} ${stick.dataset.unit}`);
}

function setLevel(stick, level) {
  put(inputOf(stick), level + scaleOf(stick).offset);
}

document.addEventListener("input", ({ target }) => follow(target));

document.addEventListener("tablet:shown", () => {
  document.querySelectorAll("[data-unsent] input, form[data-dirty] input").forEach(follow);
});

document.addEventListener("pointerdown", (event) => {
  const stick = event.target.closest?.("svg[data-dip]");
  if (!stick || !inputOf(stick) || event.button > 0) return;
  const move = (moved) => setLevel(stick, levelAt(stick, moved.clientY));
  const end = () => {
    stick.removeEventListener("pointermove", move);
    settle(inputOf(stick));
  };
  stick.setPointerCapture(event.pointerId);
  stick.addEventListener("pointermove", move);
  stick.addEventListener("pointerup", end, { once: true });
  stick.addEventListener("pointercancel", end, { once: true });
  move(event);
});

/** The stick follows its input. */
function follow(input) {
  const stick = stickOf(input);
  const value = Number(input.value);
  // "12 gal" is no place on the stick: what it means, or why it cannot be, comes with the answer.
  if (stick && input.value !== "" && Number.isFinite(value)) show(stick, value - scaleOf(stick).offset, digits(input));
}

const KEYS = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 10, PageDown: -10 };

document.addEventListener("keydown", (event) => {
  const stick = event.target.closest?.("svg[data-dip]");
  const input = stick && inputOf(stick);
  if (!input || !(event.key in KEYS || event.key === "Home" || event.key === "End")) return;
  event.preventDefault();
  const { low, full, offset } = scaleOf(stick);
  const level = standing(input) - offset + (KEYS[event.key] || 0) * (Number(input.step) || 1);
  setLevel(stick, event.key === "Home" ? low : event.key === "End" ? full : Math.min(Math.max(level, low), full));
});
