// A Topic in the customer's language, changed without asking the server, and how long each could be seen.
// The page carries every language as a template; what is chosen on this tablet counts for the whole walk-round.

const CHOSEN = "briefing";
const MOST_WALKS = 40;
const LONGEST_S = 3600;
const SHUT = new WeakSet();

function chosen() {
  try {
    return JSON.parse(localStorage.getItem(CHOSEN)) ?? {};
  } catch {
    return {};
  }
}

function walkOf(element) {
  return element.closest("main")?.dataset.walk ?? "";
}

/** Keeps the choice for the walk-round; the oldest of many are dropped. */
function keep(walk, code) {
  const { [walk]: _, ...others } = chosen();
  const rows = [...Object.entries(others), [walk, code]].slice(-MOST_WALKS);
  localStorage.setItem(CHOSEN, JSON.stringify(Object.fromEntries(rows)));
}

/** Shows every Topic inside `root` in the language, and marks its button. */
export function speak(root, code) {
  for (const saying of root.querySelectorAll(`[data-saying]:not([data-saying="${CSS.escape(code)}"])`)) say(saying, code);
  for (const tongue of root.querySelectorAll("#language")) mark(tongue, code);
}

function say(saying, code) {
  const template = saying.querySelector(`template[data-language="${CSS.escape(code)}"]`);
  if (!template) return;
  const { dir, written, writtenDir, sha256, understand } = template.dataset;
  saying.dataset.saying = code;
  const told = saying.querySelector("[data-told]");
  told.replaceChildren(template.content.cloneNode(true));
  Object.assign(told, { lang: written, dir: writtenDir });
  saying.querySelector("[data-english]").hidden = code === "en";
  const form = saying.querySelector("form");
  if (!form) return;
  form.elements.language.value = code;
  form.elements.text_sha256.value = sha256;
  const label = form.querySelector("[data-understand]");
  label.textContent = understand;
  Object.assign(label.parentElement, { lang: code, dir });
}

function mark(tongue, code) {
  const pressed = tongue.querySelector('[aria-pressed="true"]');
  const button = tongue.querySelector(`button[value="${CSS.escape(code)}"]`);
  if (!button || button === pressed) return;
  pressed?.setAttribute("aria-pressed", "false");
  button.setAttribute("aria-pressed", "true");
  const name = tongue.querySelector("[data-tongue]");
  name.textContent = button.textContent;
  Object.assign(name, { lang: button.lang, dir: button.dir });
}

// Before the form is caught or sent: the page speaks it at once, whatever comes of the sending.
document.addEventListener("submit", ({ target, submitter }) => {
  if (target.dataset.kind === "topic") stamp(target);
  if (target.dataset.kind !== "language" || !submitter) return;
  keep(walkOf(target), submitter.value);
  speak(document, submitter.value);
  target.closest("details").open = false;
}, true);

/** What comes into the page, from the server, a template or the tablet's store, is in the chosen language too. */
function arrived() {
  const main = document.querySelector("main[data-walk]");
  const code = main && chosen()[main.dataset.walk];
  if (code) speak(main, code);
  // Chosen once: it opens again only by hand.
  const tongue = code && main.querySelector("#language");
  if (tongue && !SHUT.has(tongue)) {
    SHUT.add(tongue);
    tongue.open = false;
  }
  for (const saying of document.querySelectorAll("[data-saying]")) if (!SEEN.has(saying)) watch(saying);
}

// Time counts while a part of the Topic is on the screen and the page is.
const SEEN = new WeakMap();
const inView = new IntersectionObserver((entries) => {
  for (const { target, isIntersecting } of entries) turn(SEEN.get(target), isIntersecting);
});

function watch(saying) {
  SEEN.set(saying, { ms: 0, since: null, isInView: false });
  inView.observe(saying);
}

function turn(time, isInView = time.isInView) {
  const now = performance.now();
  if (time.since !== null) time.ms += now - time.since;
  time.isInView = isInView;
  time.since = isInView && document.visibilityState === "visible" ? now : null;
}

function stamp(form) {
  const time = SEEN.get(form.closest("[data-saying]"));
  // Pressed twice it is one act, so the first figure stands.
  if (!time || form.elements.seconds.value) return;
  turn(time);
  form.elements.seconds.value = String(Math.min(Math.round(time.ms / 1000), LONGEST_S));
}

document.addEventListener("visibilitychange", () => {
  for (const saying of document.querySelectorAll("[data-saying]")) if (SEEN.has(saying)) turn(SEEN.get(saying));
});

new MutationObserver(arrived).observe(document.documentElement, { childList: true, subtree: true });
arrived();
