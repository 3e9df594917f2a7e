// New mark: while the form is open, a tap anywhere on the plan says where. Coordinates go into the form in millimetres.

const SVG = "http://www.w3.org/2000/svg";

function aimingForm() {
  return [...document.querySelectorAll("form[data-aim]")].find((form) => form.checkVisibility());
}

function showAiming() {
  const isAiming = Boolean(aimingForm());
  for (const plan of document.querySelectorAll("svg.plan[data-scale]")) plan.toggleAttribute("data-aiming", isAiming);
}

/** Where a tap lies on the vehicle: mm right of the centre line, mm behind the nose. */
function placeOf(plan, event) {
  const matrix = plan.getScreenCTM();
  const x = (event.clientX - matrix.e) / matrix.a;
  const y = (event.clientY - matrix.f) / matrix.d;
  const { scale, middle, top } = plan.dataset;
  return { x, y, x_mm: Math.round((x - middle) / scale), y_mm: Math.round((y - top) / scale) };
}

function ring(plan, place) {
  const aim = plan.querySelector(".aim") || plan.appendChild(document.createElementNS(SVG, "circle"));
  for (const [name, value] of Object.entries({ class: "aim", cx: place.x, cy: place.y, r: 16 })) aim.setAttribute(name, value);
}

function words(plan, place) {
  const [left, right] = [...plan.querySelectorAll(".sides text")].map((side) => side.textContent);
  return `${(Math.max(place.y_mm, 0) / 1000).toFixed(1)} m from the nose, ${place.x_mm < 0 ? left : right}`;
}

// In the capturing phase: while aiming, a tap on a peg is a place and not a way to another station.
document.addEventListener("click", (event) => {
  const plan = event.target.closest?.("svg.plan[data-scale]");
  const form = plan && aimingForm();
  if (!form) return;
  event.preventDefault();
  event.stopPropagation();
  const place = placeOf(plan, event);
  form.elements.x_mm.value = place.x_mm;
  form.elements.y_mm.value = place.y_mm;
  ring(plan, place);
  const said = form.querySelector("[data-aim-words]");
  if (said) said.textContent = words(plan, place);
}, true);

document.addEventListener("toggle", showAiming, true);
document.addEventListener("tablet:shown", showAiming);
showAiming();
