// Words come from the page: patterns with {names} as data attributes of #words, pieces as templates.

const FORMAT = { hour: "2-digit", minute: "2-digit", hourCycle: "h23" };
const clocks = new Map();

/** A pattern of #words with its names filled in. */
export function say(name, values = {}) {
  const pattern = document.getElementById("words")?.dataset[name] ?? "";
  return pattern.replace(/\{(\w+)\}/g, (_, key) => values[key] ?? "");
}

/** 10:21, in the branch's zone where the page names it. */
export function clock(at, zone) {
  if (!clocks.has(zone)) clocks.set(zone, new Intl.DateTimeFormat("en-GB", { ...FORMAT, timeZone: zone || undefined }));
  return clocks.get(zone).format(new Date(at));
}

/** A copy of a template's first element, its [data-slot]s filled in with text. */
export function piece(template, values = {}) {
  const made = template.content.cloneNode(true);
  for (const slot of made.querySelectorAll("[data-slot]")) {
    if (slot.dataset.slot in values) slot.textContent = values[slot.dataset.slot];
  }
  return made.firstElementChild;
}

export function pieceById(id, values) {
  const template = document.getElementById(id);
  return template ? piece(template, values) : null;
}
