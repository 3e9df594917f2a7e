// Stepper: − value +. Holding a key repeats; the value can be typed. A press is an `input` event at once and one
// `change` event when the fingers rest, so that ten presses become one Reading.

const REST_MS = 350;
const HOLD_MS = 420;
const REPEAT_MS = 90;
const resting = new Map();

/** Digits after the point of the input's step: "0.1" gives 1, "0.5" gives 1, "1" gives 0. */
export function digits(input) {
  return (input.step.split(".")[1] || "").length;
}

/** The nearest value the input can take, as text: on its step, within min and max. */
export function fitting(input, value) {
  const step = Number(input.step) || 1;
  const base = Number(input.min) || 0;
  const low = input.min === "" ? -Infinity : Number(input.min);
  const high = input.max === "" ? Infinity : Number(input.max);
  const onStep = base + Math.round((value - base) / step) * step;
  return Math.min(Math.max(onStep, low), high).toFixed(digits(input));
}

/** What the stepper starts from: the value, else what is offered from before. */
export function standing(input) {
  return Number(input.value === "" ? input.placeholder : input.value) || 0;
}

/** Writes a value and says so; the `change` follows when nothing more comes. */
export function put(input, value) {
  input.value = fitting(input, value);
  input.classList.remove("none");
  input.dispatchEvent(new Event("input", { bubbles: true }));
  clearTimeout(resting.get(input));
  resting.set(input, setTimeout(() => settle(input), REST_MS));
}

/** Ends the waiting: the value stands. Does nothing if none was waiting. */
export function settle(input) {
  if (!resting.has(input)) return;
  clearTimeout(resting.get(input));
  resting.delete(input);
  input.dispatchEvent(new Event("change", { bubbles: true }));
}

function press(button) {
  const input = button.closest(".step")?.querySelector("input");
  if (input && !input.disabled) put(input, standing(input) + Number(button.dataset.step) * (Number(input.step) || 1));
}

let timer = 0;
let held = false;

function hold(button) {
  held = false;
  timer = setTimeout(function again() {
    held = true;
    press(button);
    timer = setTimeout(again, REPEAT_MS);
  }, HOLD_MS);
}

function release() {
  clearTimeout(timer);
}

document.addEventListener("pointerdown", (event) => {
  const button = event.target.closest?.("[data-step]");
  if (button) hold(button);
  for (const input of [...resting.keys()]) {
    if (!input.closest(".step")?.contains(event.target)) settle(input);
  }
});
for (const kind of ["pointerup", "pointercancel", "pointerleave"]) document.addEventListener(kind, release);
addEventListener("pagehide", () => [...resting.keys()].forEach(settle));

// A click follows every press, by finger or by keyboard; after a hold it is not one more.
document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-step]");
  if (button && !held) press(button);
  held = false;
});

// Typing settles by itself: the browser sends `change` when the field is left, so a waiting one would be a second.
document.addEventListener("change", (event) => {
  clearTimeout(resting.get(event.target));
  resting.delete(event.target);
});
