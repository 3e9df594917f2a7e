// How far a station has come, counted from its own parts: the same figures that the server counts from its rows.

import { say } from "./words.js";

const HEADINGS = { reading: "n-readings", check: "n-checks", count: "n-counts", seal: "n-seals", photo: "n-photos" };
const ASKED = ["reading", "check", "count", "seal", "topic", "photo"];

/** {asked, answered, isHeld} of an element that holds a station; {of, open} by kind of question. */
export function countOf(main) {
  const kinds = Object.fromEntries(ASKED.map((kind) => [kind, { of: 0, open: 0 }]));
  for (const part of main.querySelectorAll("[data-asked]")) {
    const kind = kinds[part.dataset.asked];
    if (!kind) continue;
    kind.of += 1;
    if (!part.dataset.answer) kind.open += 1;
  }
  return kinds;
}

export function stateOf(main) {
  if (main.querySelector("#go[data-held]")) return "wait";
  const kinds = Object.values(countOf(main));
  const of = kinds.reduce((sum, kind) => sum + kind.of, 0);
  const open = kinds.reduce((sum, kind) => sum + kind.open, 0);
  if (!open) return "done";
  return open < of ? "part" : "todo";
}

/** Headings and the line of what is still open, after an answer that the server has not counted yet. */
export function progress(main) {
  const kinds = countOf(main);
  for (const [kind, id] of Object.entries(HEADINGS)) {
    const heading = main.querySelector(`#${id}`);
    if (heading && kinds[kind].of) heading.textContent = say("of", { n: kinds[kind].of - kinds[kind].open, of: kinds[kind].of });
  }
  const line = main.querySelector("#still-open[data-left]");
  if (line) line.textContent = leftWords(JSON.parse(line.dataset.left), kinds);
}

function leftWords(words, kinds) {
  const left = ASKED.filter((kind) => kinds[kind].open).map((kind) => words[kind]?.[kinds[kind].open - 1] ?? "");
  return left.length ? say("left", { what: left.join(", ") }) : say("nothingLeft");
}

/** Draws the stations' states on the plan, and the tally under it. `states`: {number: todo, part, done or wait}. */
export function drawRound(main, states) {
  for (const peg of main.querySelectorAll("svg.plan a.peg")) {
    const number = peg.getAttribute("href").match(/\/station\/(\d+)\//)?.[1];
    if (states[number] && !peg.classList.contains("now")) drawPeg(peg, states[number]);
  }
  const tally = main.querySelector("[data-tally]");
  const all = Object.values(states);
  const done = all.filter((state) => state === "done").length;
  const part = all.filter((state) => state === "part" || state === "wait").length;
  const pattern = document.getElementById(part ? "tally-part" : "tally");
  if (tally && pattern) tally.replaceChildren(...filled(pattern, { done, of: all.length, part }));
}

function filled(template, values) {
  const copy = template.content.firstElementChild.cloneNode(true);
  copy.innerHTML = copy.innerHTML.replace(/\{(\w+)\}/g, (_, name) => values[name]);
  return copy.childNodes;
}

const SVG = "http://www.w3.org/2000/svg";
const LEVEL = { class: "level", x: -17, y: 8, width: 34, height: 9 };
const BARS = { class: "bar", d: "M-26 -26 L26 26 M26 -26 L-26 26" };

function drawPeg(peg, state) {
  if (peg.classList.contains(state)) return;
  const inside = peg.querySelector("g");
  const figure = inside.querySelector("text");
  inside.querySelectorAll(".level, .bar").forEach((old) => old.remove());
  figure.removeAttribute("y");
  if (state === "part") {
    figure.before(shape(peg, "rect", LEVEL));
    figure.setAttribute("y", "-4");
  }
  if (state === "wait") inside.querySelector(".head").before(shape(peg, "path", BARS));
  peg.setAttribute("class", `peg ${state}`);
  peg.setAttribute("aria-label", peg.getAttribute("aria-label").replace(/[^,]*$/, ` ${say(`peg-${state}`.replace(/-(\w)/, (_, letter) => letter.toUpperCase()))}`));
}

function shape(peg, name, attributes) {
  const made = peg.ownerDocument.createElementNS(SVG, name);
  for (const [attribute, value] of Object.entries(attributes)) made.setAttribute(attribute, value);
  return made;
}
